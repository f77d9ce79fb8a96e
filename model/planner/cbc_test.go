//go:build unix && !race

package planner_test

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"bayhand/model/graph"
	"bayhand/model/heard"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/planner/stock"
)

// Whether a session can be given is the same by the planner and by an integer program
// that a solver of others decides (CBC, an optional peer). Ways that a want asks for are
// no part of the program, so that those rooms are left out. BAYHAND_ROOMS says in how many rooms,
// BAYHAND_SEED which is the first.
func TestTightRoomsByIntegerProgram(t *testing.T) {
	solver, err := exec.LookPath("cbc")
	if err != nil {
		if os.Getenv("BAYHAND_PEERS") == "require" {
			t.Error("cbc is missing; BAYHAND_PEERS=require asks for it")
		}
		t.Skip("cbc is not installed")
	}
	same := 0
	for i := range tinyRooms(t, 7) {
		seed := firstSeed(t) + i
		r := drawTight(t, seed)
		if r.shape == "via" || r.shape == "mults" && os.Getenv("BAYHAND_ROOMS") == "" {
			continue // mults take the solver some seconds
		}
		p, err := planner.Find(t.Context(), heard.NewRoom(r.studio), r.present, r.session, planner.Options{Prefer: plan.PreferFewest})
		if err != nil {
			t.Fatal(err)
		}
		feasible, known := newProgram(r).feasible(t, solver)
		if !known {
			continue
		}
		t.Logf("%3d %-9s given %v, by the integer program %v", seed, r.shape, p.Given, feasible)
		if p.Given != feasible {
			t.Errorf("seed %d, %s: given: %v; by the integer program: %v", seed, r.shape, p.Given, feasible)
		}
		same++
	}
	if same == 0 {
		t.Error("no room was compared")
	}
}

// program is a room and a session as an integer program: y says that a source is on a
// node, u that it uses an edge, f that the way of a want goes along it.
type program struct {
	*graph.Graph
	room  tightRoom
	stock stock.Stock
	edges []programEdge
	// idle are nodes where nothing is and one thing leads to; those that no way of any
	// want could go along.
	idle  map[int]bool
	text  strings.Builder
	vars  map[string]bool
	asked map[int]bool // sources that the session asks for
	// plugs are what could be in each jack, ofKind and ofOutput what uses a cord of a
	// kind, or an output.
	plugs, ofKind, ofOutput map[int][]string
	dummies                 []string
}

// programEdge is metal, or a crosspoint, between two nodes.
type programEdge struct {
	from, to int
	directed bool
	jacks    []int // that it has a plug in
	kinds    []int
	normal   int
	output   int
}

func newProgram(r tightRoom) *program {
	g := heard.NewRoom(r.studio).Graph()
	present, _ := g.Numbered(r.present)
	p := &program{Graph: g, room: r, stock: stock.New(g, r.present, present), vars: map[string]bool{}, idle: map[int]bool{}, asked: map[int]bool{}, plugs: map[int][]string{}, ofKind: map[int][]string{}, ofOutput: map[int][]string{}}
	for _, w := range r.session.Wants {
		p.asked[g.SourceOf[w.Source]] = true
	}
	for n, at := range g.Nodes {
		p.idle[n] = len(at.Jacks)+len(at.Normals) < 2 && len(at.Sources)+len(at.Inputs)+len(at.Ins)+len(at.Outputs) == 0
	}
	for i, n := range g.Normals {
		p.edges = append(p.edges, programEdge{from: g.Jacks[n.A].Node, to: g.Jacks[n.B].Node, normal: i, output: graph.None})
	}
	for o, out := range g.Outputs {
		for _, x := range out.Crosses {
			p.edges = append(p.edges, programEdge{from: g.Crosses[x].From, to: out.Node, directed: !out.Relay, normal: graph.None, output: o})
		}
	}
	for i := range g.Jacks {
		for j := range i {
			e := programEdge{from: g.Jacks[j].Node, to: g.Jacks[i].Node, jacks: []int{j, i}, normal: graph.None, output: graph.None}
			for k := range p.stock.Kinds {
				if p.stock.Counts[k] > 0 && p.stock.Goes(k, [2]int{j, i}) {
					e.kinds = append(e.kinds, k)
				}
			}
			if len(e.kinds) > 0 && e.from != e.to && !p.idle[e.from] && !p.idle[e.to] {
				p.edges = append(p.edges, e)
			}
		}
	}
	return p
}

func (p *program) use(name string) string { p.vars[name] = true; return name }

// row writes a constraint: the sum of some terms, and what it must be.
func (p *program) row(terms []string, relation string) {
	if len(terms) > 0 {
		fmt.Fprintf(&p.text, " %s %s\n", strings.Join(terms, " + "), relation)
	}
}

// may says whether a source may be on a node, by the wants and silences there.
func (p *program) may(n, s int) bool {
	for _, other := range p.Nodes[n].Sources {
		if other != s {
			return false
		}
	}
	if p.idle[n] {
		return false // a cord there would lead nowhere
	}
	at := p.Nodes[n]
	for _, in := range at.Inputs {
		wanted, hears := false, false
		for _, w := range p.room.session.Wants {
			if w.Destination == p.Points[in] {
				wanted, hears = true, hears || w.Source == p.Points[p.Sources[s]]
			}
		}
		for _, at := range p.room.session.Silent {
			wanted = wanted || at == p.Points[in]
		}
		if wanted && !hears {
			return false
		}
	}
	return p.asked[s] || n == p.Node[p.Sources[s]] || len(at.Normals) > 0
}

// feasible writes the program, and says whether the solver finds an answer.
func (p *program) feasible(t *testing.T, solver string) (is, known bool) {
	t.Helper()
	p.text.WriteString("Minimize\n obj: zero\nSubject To\n")
	p.addEdges()
	p.addNodes()
	p.addWants()
	p.addJacks()
	p.use("zero")
	p.text.WriteString("Binary\n")
	for name := range p.vars {
		p.text.WriteString(" " + name + "\n")
	}
	p.text.WriteString("End\n")
	folder := t.TempDir()
	file, answer := filepath.Join(folder, "room.lp"), filepath.Join(folder, "answer")
	if err := os.WriteFile(file, []byte(p.text.String()), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(solver, file, "sec", "20", "solve", "solution", answer).CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	read, err := os.ReadFile(answer)
	if err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	first, _, _ := strings.Cut(string(read), "\n")
	switch {
	case strings.HasPrefix(first, "Optimal"):
		return true, true
	case strings.Contains(strings.ToLower(first), "infeasible"):
		return false, true
	}
	t.Logf("the solver says %q", first)
	return false, false
}

func (p *program) addEdges() {
	for e, edge := range p.edges {
		for s := range p.Sources {
			if !p.may(edge.from, s) || !p.may(edge.to, s) {
				continue
			}
			u := p.use(fmt.Sprintf("u_%d_%d", e, s))
			for _, n := range []int{edge.from, edge.to} {
				p.row([]string{u}, fmt.Sprintf("- y_%d_%d <= 0", n, s))
			}
			var by []string
			for _, k := range edge.kinds {
				cord := p.use(fmt.Sprintf("c_%d_%d_%d", e, s, k))
				by, p.ofKind[k] = append(by, cord), append(p.ofKind[k], cord)
			}
			if len(by) > 0 {
				p.row(by, "- "+u+" = 0")
			}
			for _, j := range edge.jacks {
				p.plugs[j] = append(p.plugs[j], u)
			}
			if edge.output != graph.None {
				p.ofOutput[edge.output] = append(p.ofOutput[edge.output], u)
			}
		}
	}
	for _, terms := range p.ofOutput {
		p.row(terms, "<= 1")
	}
}

// addNodes: one source on each node; each is where it stands.
func (p *program) addNodes() {
	for n := range p.Nodes {
		var terms []string
		for s := range p.Sources {
			y := p.use(fmt.Sprintf("y_%d_%d", n, s))
			terms = append(terms, y)
			switch {
			case p.Node[p.Sources[s]] == n:
				p.row([]string{y}, "= 1")
			case !p.may(n, s):
				p.row([]string{y}, "= 0")
			}
		}
		p.row(terms, "<= 1")
	}
}

// addWants: a way leads from the source of each want to its destination.
func (p *program) addWants() {
	for w, want := range p.room.session.Wants {
		s := p.SourceOf[want.Source]
		into, out := map[int][]string{}, map[int][]string{}
		for e, edge := range p.edges {
			if !p.may(edge.from, s) || !p.may(edge.to, s) {
				continue
			}
			arc := func(name string, from, to int) string {
				f := p.use(name)
				into[to], out[from] = append(into[to], f), append(out[from], f)
				return f
			}
			var both []string
			if edge.directed || len(p.Always(edge.to)) == 0 {
				both = append(both, arc(fmt.Sprintf("f_%d_%d", e, w), edge.from, edge.to))
			}
			if !edge.directed && len(p.Always(edge.from)) == 0 {
				both = append(both, arc(fmt.Sprintf("r_%d_%d", e, w), edge.to, edge.from))
			}
			p.row(both, fmt.Sprintf("- u_%d_%d <= 0", e, s))
		}
		for n := range p.Nodes {
			terms, relation := append([]string{}, out[n]...), 0
			for _, f := range into[n] {
				terms = append(terms, "-1 "+f)
			}
			if n == p.Node[p.Sources[s]] {
				relation++
			}
			if n == p.Node[p.Number[want.Destination]] {
				relation--
			}
			if len(terms) == 0 && relation != 0 {
				terms = []string{"zero"}
				p.row([]string{"zero"}, "= 0")
			}
			p.row(terms, fmt.Sprintf("= %d", relation))
		}
	}
}

// addJacks: one plug in each; a normal holds unless a plug breaks it, and joins then.
func (p *program) addJacks() {
	for j := range p.Jacks {
		d := p.use(fmt.Sprintf("d_%d", j))
		p.dummies = append(p.dummies, d)
		p.plugs[j] = append(p.plugs[j], d)
		for k := range p.stock.Kinds {
			if p.stock.Counts[k] > 0 && p.stock.Goes(k, [2]int{j, graph.None}) && !p.Nodes[p.Jacks[j].Node].Mic {
				h := p.use(fmt.Sprintf("h_%d_%d", j, k))
				p.plugs[j], p.ofKind[k] = append(p.plugs[j], h), append(p.ofKind[k], h)
			}
		}
		p.row(p.plugs[j], "<= 1")
	}
	if owned := p.Studio.Dummies; owned >= 0 {
		p.row(p.dummies, fmt.Sprintf("<= %d", owned))
	}
	for k, terms := range p.ofKind {
		p.row(terms, fmt.Sprintf("<= %d", p.stock.Counts[k]))
	}
	for e, edge := range p.edges {
		if edge.normal == graph.None {
			continue
		}
		n := p.Normals[edge.normal]
		hold := p.use(fmt.Sprintf("n_%d", e))
		all := []string{hold}
		for _, j := range []int{n.A, n.B} {
			if n.Breaks(j) {
				all = append(all, p.plugs[j]...)
				p.row(append([]string{hold}, p.plugs[j]...), "<= 1")
			}
		}
		slices.Sort(all)
		p.row(slices.Compact(all), ">= 1") // a cord may have both plugs there
		for s := range p.Sources {
			y, z := fmt.Sprintf("y_%d_%d", edge.from, s), fmt.Sprintf("y_%d_%d", edge.to, s)
			p.row([]string{hold, y}, "- "+z+" <= 1")
			p.row([]string{hold, z}, "- "+y+" <= 1")
			if p.vars[fmt.Sprintf("u_%d_%d", e, s)] {
				p.row([]string{fmt.Sprintf("u_%d_%d", e, s)}, "- "+hold+" <= 0")
			}
		}
	}
}
