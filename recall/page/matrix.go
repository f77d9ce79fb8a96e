package page

import (
	"strconv"

	"bayhand/model/name"
	"bayhand/model/studio"
	"bayhand/recall/keep"
	"bayhand/recall/words"
)

// matrix is the table of one matrix: outputs by inputs.
type matrix struct {
	Name, Label, State string
	Identity           string
	Problem            string
	// Undrawn is one that nobody has looked at yet, and Tall how high it will be, in
	// pixels.
	Undrawn bool
	Tall    int
	Inputs  []input
	Rows    []output
}

type input struct {
	Number, Behind string
	Follow         string
	Lit            bool
}

// output is a row of the table.
type output struct {
	Number, Behind string
	// Hears is what it listens to now in words, Known how that is known.
	Hears, Known, Since string
	// Wants is what it will listen to; empty where nothing changes.
	Wants  string
	Cells  []cell
	Follow string
	Lit    bool
}

// cell is one crosspoint: closed now, or wanted.
type cell struct {
	Input string
	// State is open, closed, believed, wanted, unwanted (closed and to be opened)
	// or absent.
	State string
	// Says the state, for those who do not see it.
	Says   string
	Follow string
	Lit    bool
	// Now is the one that a lesson asks for.
	Now bool
}

func (h drawer) matrices(s keep.Status, a asked, t *touched, d drawing) []matrix {
	lit := map[name.Point]bool{}
	if t != nil {
		lit = t.lit
	}
	var all []matrix
	for _, m := range h.page.Studio.Matrices {
		one := matrix{Name: m.Name, Label: h.page.words.Owner(m.Name)}
		for _, status := range s.Matrices {
			if status.Name == m.Name {
				one.State, one.Identity, one.Problem = words.Matrix(status), words.Clean(status.Identity), words.Clean(status.Problem)
			}
		}
		if !d.has(m.Name) {
			one.Undrawn, one.Tall = true, 31*(m.Outputs+1)
			all = append(all, one)
			continue
		}
		for n := 1; n <= m.Inputs; n++ {
			one.Inputs = append(one.Inputs, input{strconv.Itoa(n), h.page.words.Behind(m.In(n)), a.calm().touch(m.In(n)).String(), lit[m.In(n)]})
		}
		for n := 1; n <= m.Outputs; n++ {
			one.Rows = append(one.Rows, h.row(s, m, n, a, lit))
		}
		all = append(all, one)
	}
	return all
}

func (h drawer) row(s keep.Status, m studio.Matrix, n int, a asked, lit map[name.Point]bool) output {
	at := m.Out(n)
	row := output{Number: strconv.Itoa(n), Behind: h.page.words.Behind(at), Hears: "unknown", Follow: a.calm().touch(at).String(), Lit: lit[at]}
	closed := map[name.Point]keep.Fact{}
	var hears []string
	for _, c := range s.Known.Crosspoints {
		if c.Output != at {
			continue
		}
		row.Known, row.Since, row.Hears = words.How(c.How), h.page.clock(c.Since), "off"
		if !c.Input.IsZero() {
			closed[c.Input] = c.Fact
			hears = append(hears, h.page.words.Port(c.Input))
		}
	}
	if len(hears) > 0 {
		row.Hears = words.List(hears)
	}
	wanted, changes := wantedInput(s, at)
	if changes {
		row.Wants = "off"
		if !wanted.IsZero() {
			row.Wants = h.page.words.Port(wanted)
		}
	}
	for i := 1; i <= m.Inputs; i++ {
		fact, in := closed[m.In(i)]
		c := crosspoint(i, in, in && believed(fact), changes, wanted == m.In(i))
		c.Follow, c.Lit = row.Follow, lit[at] && lit[m.In(i)] && in
		row.Cells = append(row.Cells, c)
	}
	for _, absent := range m.Missing {
		if absent.Output == at && absent.Input.Number <= len(row.Cells) {
			row.Cells[absent.Input.Number-1].State = "absent"
		}
	}
	return row
}

// wantedInput is what an output will listen to by the steps left.
func wantedInput(s keep.Status, output name.Point) (input name.Point, changes bool) {
	for _, step := range s.Left {
		for _, c := range step.Crosspoints {
			if c.Output == output {
				input, changes = c.Input, true
			}
		}
	}
	return input, changes
}

func crosspoint(n int, closed, believed, changes, wanted bool) cell {
	c := cell{Input: strconv.Itoa(n), State: "open"}
	switch {
	case closed && changes && !wanted:
		c.State, c.Says = "unwanted", "to open"
	case closed && believed:
		c.State, c.Says = "believed", "closed (assumed)"
	case closed:
		c.State, c.Says = "closed", "closed"
	case wanted:
		c.State, c.Says = "wanted", "to close"
	}
	return c
}
