package paper

import "slices"

// SinceOther leaves in a sheet only what differs from the sheet of another session:
// its steps are to lead from there already.
func (r Recall) SinceOther(other Recall) Recall {
	r.Since = other.Session
	r.Stays = []RecallCord{}
	if r.Notes == other.Notes {
		r.Notes = ""
	}
	matrices := []MatrixSheet{}
	for i, m := range r.Matrices {
		if i < len(other.Matrices) {
			m.Points = changedLines(m.Points, other.Matrices[i].Points)
		}
		if len(m.Points) > 0 {
			matrices = append(matrices, m)
		}
	}
	r.Matrices = matrices
	r.Settings = changedGear(r.Settings, other.Settings)
	lists := []List{}
	for _, l := range r.Lists {
		if !slices.ContainsFunc(other.Lists, func(o List) bool { return o.Title == l.Title && slices.Equal(o.Lines, l.Lines) }) {
			lists = append(lists, l)
		}
	}
	r.Lists = lists
	return r
}

func changedLines(now, before []MatrixLine) []MatrixLine {
	changed := []MatrixLine{}
	for i, line := range now {
		if i >= len(before) || !slices.Equal(line.Inputs, before[i].Inputs) {
			changed = append(changed, line)
		}
	}
	return changed
}

// changedGear are the items that are not set so in the other session.
func changedGear(now, before []GearSheet) []GearSheet {
	changed := []GearSheet{}
	for _, g := range now {
		at := slices.IndexFunc(before, func(o GearSheet) bool { return o.Label == g.Label })
		if at >= 0 {
			g.Items = slices.DeleteFunc(slices.Clone(g.Items), func(i Item) bool { return slices.Contains(before[at].Items, i) })
		}
		if len(g.Items) > 0 {
			changed = append(changed, g)
		}
	}
	return changed
}
