package schedule

import (
	"cmp"
	"slices"

	"bayhand/model/layout"
	"bayhand/model/measure"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// Kit is what hands carry to the bay: the least of each that suffices for any one of
// some patches.
type Kit struct {
	Cords   []Cords `json:"cords"`
	Dummies int     `json:"dummies"`
	Leads   int     `json:"leads"`
	// LeadLengths are how long leads must be, the longest first, worked out from the
	// places of gear and jacks as lengths of cables are; of leads to gear without a place
	// there is none.
	LeadLengths []measure.Length `json:"lead-lengths,omitempty"`
}

// Cords are cords of one kind. Plugs are the kinds of jack that they go into, in the
// words of files and empty where a bay does not say its own; Poles are 2 or 3.
type Cords struct {
	Plugs  [2]string      `json:"plugs"`
	Poles  int            `json:"poles"`
	Length measure.Length `json:"length"`
	Count  int            `json:"count"`
}

// step is what lengths of cords are rounded up to where none owned reaches.
const step = 10 * measure.Centimetre

// KitOf is what any one of the patches takes. A longer cord stands in for a shorter
// one: of each length there are as many as are missing, in the patch that takes most,
// beside those that are longer. So of each kind there are as many cords as that patch
// holds which holds most. It takes time linear in the plugs of all patches, beside
// sorting lengths.
func KitOf(s *studio.Studio, patches []patch.Patch) Kit {
	kit := Kit{Cords: []Cords{}}
	most := map[Cords]int{} // by kind and length: how many at least that long
	lengths := layout.NewLengths(s)
	for _, p := range patches {
		kit.LeadLengths = eachLongest(kit.LeadLengths, leadLengths(lengths, p))
		kit.Dummies, kit.Leads = max(kit.Dummies, len(p.Dummies)), max(kit.Leads, len(p.Leads))
		var all []Cords
		for _, c := range p.Cords {
			if !c.B.IsZero() {
				all = append(all, needed(s, c))
			}
		}
		slices.SortFunc(all, longestFirst)
		first := 0
		for i, c := range all {
			if !all[first].sameKind(c) {
				first = i
			}
			most[c] = max(most[c], i-first+1)
		}
	}
	for c := range most {
		kit.Cords = append(kit.Cords, c)
	}
	slices.SortFunc(kit.Cords, longestFirst)
	kit.Cords = fromLongest(kit.Cords, most)
	return kit
}

// leadLengths are those of the leads of a patch that are known, the longest first.
func leadLengths(lengths *layout.Lengths, p patch.Patch) []measure.Length {
	var all []measure.Length
	for _, l := range p.Leads {
		if length, _, ok := lengths.Length(studio.Run{}, l.Port, l.Jack); ok {
			all = append(all, length)
		}
	}
	slices.SortFunc(all, func(a, b measure.Length) int { return cmp.Compare(b, a) })
	return all
}

// eachLongest takes at each place the longer of two lists, so that what it gives stands
// in for either.
func eachLongest(a, b []measure.Length) []measure.Length {
	if len(a) < len(b) {
		a, b = b, a
	}
	a = slices.Clone(a)
	for i := range b {
		a[i] = max(a[i], b[i])
	}
	return a
}

// fromLongest counts, of cords of one kind after another with the longest first, those
// that longer ones do not stand in for.
func fromLongest(all []Cords, most map[Cords]int) []Cords {
	counted := []Cords{}
	had := 0
	for i, c := range all {
		if i == 0 || !all[i-1].sameKind(c) {
			had = 0
		}
		if n := most[c]; n > had {
			c.Count = n - had
			counted = append(counted, c)
			had = n
		}
	}
	return counted
}

func (c Cords) sameKind(o Cords) bool { return c.Plugs == o.Plugs && c.Poles == o.Poles }

func longestFirst(a, b Cords) int {
	return cmp.Or(cmp.Compare(a.Plugs[0], b.Plugs[0]), cmp.Compare(a.Plugs[1], b.Plugs[1]), cmp.Compare(b.Poles, a.Poles), cmp.Compare(b.Length, a.Length))
}

// needed is the kind of cord that a cord of a patch must be: the shortest owned length
// that reaches with the slack, else what it takes, rounded up. What the patch says of
// the length is one that was at hand.
func needed(s *studio.Studio, c patch.Cord) Cords {
	a, b := layout.Kind(s, c.A), layout.Kind(s, c.B)
	made := Cords{Plugs: [2]string{jackWord(a), jackWord(b)}, Poles: cmp.Or(c.Poles, 3)}
	slices.Sort(made.Plugs[:])
	way, ok := layout.Distance(s, c.A, c.B)
	if !ok {
		made.Length = c.Length
		return made
	}
	way += s.Stock.Slack
	for _, owned := range s.Stock.Cords {
		if owned.Length >= way && layout.Fits(owned.Ends, a, b) && (made.Length == 0 || owned.Length < made.Length) {
			made.Length = owned.Length
		}
	}
	if made.Length == 0 {
		made.Length = (way + step - 1) / step * step
	}
	return made
}

func jackWord(j studio.Jack) string {
	if j == studio.JackUnknown {
		return ""
	}
	return j.String()
}
