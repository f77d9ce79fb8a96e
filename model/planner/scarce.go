package planner

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"bayhand/model/graph"
	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/plan"
	"bayhand/model/planner/cut"
	"bayhand/model/planner/problem"
)

// shortageOf is a proof by counting in names.
func shortageOf(t *problem.Problem, p *cut.Proof) *plan.Shortage {
	s := &plan.Shortage{Takes: []plan.Taking{}, Of: []plan.Scarce{}, Need: p.Need, Have: p.Have}
	for _, d := range p.Demands {
		s.Takes = append(s.Takes, takingOf(t, d))
	}
	if s.Takes[0].NoWay {
		s.Need = 0
	}
	for _, r := range p.Prices {
		s.Of = append(s.Of, scarceOne(t, r))
	}
	return s
}

func takingOf(t *problem.Problem, d cut.Demand) plan.Taking {
	one := plan.Taking{Least: d.Cost, NoWay: d.NoWay()}
	if one.NoWay {
		one.Least = 0
	}
	if d.Normal != graph.None {
		n := t.Normals[d.Normal]
		one.Break = []name.Point{t.Points[t.Jacks[n.A].Point], t.Points[t.Jacks[n.B].Point]}
		return one
	}
	one.Source = t.Points[t.Sources[d.Source]]
	for _, w := range d.Wants {
		one.At = append(one.At, t.Session.Wants[w].Destination)
	}
	return one
}

func scarceOne(t *problem.Problem, r cut.Price) plan.Scarce {
	s := plan.Scarce{Count: r.Count, Price: r.Price}
	switch r.Kind {
	case cut.OfNode:
		s.What, s.At = plan.ScarceMetal, named(t, r.Number)
	case cut.OfJack:
		s.What, s.At = plan.ScarceJack, t.Points[t.Jacks[r.Number].Point]
	case cut.OfOutput:
		s.What, s.At = plan.ScarceOutput, t.Points[t.Outputs[r.Number].Point]
	case cut.OfDummies:
		s.What = plan.ScarceDummy
	case cut.OfStock:
		s.What, s.Cord = plan.ScarceCord, ownedCord(t, r.Number)
	}
	return s
}

// named is a point of a node that has a name: a matrix's, a jack, or any.
func named(t *problem.Problem, n int) name.Point {
	points := t.Nodes[n].Points
	for _, kinds := range [][]graph.PointKind{{graph.MatrixOutput}, {graph.MatrixInput}, {graph.JackPoint}, {graph.GearInput, graph.GearOutput}} {
		for _, p := range points {
			if slices.Contains(kinds, t.Kinds[p]) {
				return t.Points[p]
			}
		}
	}
	return name.Point{}
}

// scarce is one sort of what is scarce, with the words for one and for more.
type scarce struct {
	key, one, many string
	count          int
	price          float64
	// own says that it is the jack or metal of the very source or destination.
	own bool
	// cords are the kinds of cord, with the words for one and for more of the kind that
	// one would add.
	cords             []*plan.OwnedCord
	oneMore, manyMore string
}

var dummyScarce = scarce{key: "dummy", one: "dummy", many: "dummies"}

// multScarce is what is missing where a source has to be split and has one jack alone.
var multScarce = scarce{key: "mult", one: "mult", many: "mults"}

// counted is so many of it, more is so many more of it.
func (s scarce) counted(n int) string { return fmt.Sprint(n, " ", word(n, s.one, s.many)) }

func (s scarce) more(n int) string {
	return fmt.Sprint(n, " more ", word(n, cmp.Or(s.oneMore, s.one), cmp.Or(s.manyMore, s.many)))
}

// scarceOf are the sorts of what is scarce, in order.
func scarceOf(t *problem.Problem, s *plan.Shortage) []scarce {
	var all []scarce
	for _, r := range s.Of {
		g := sortOf(t, s, r)
		at := slices.IndexFunc(all, func(o scarce) bool { return o.key == g.key && o.own == g.own && o.price == g.price })
		if at < 0 {
			all = append(all, g)
			continue
		}
		all[at].count += g.count
		if len(g.cords) > 0 {
			all[at].addCord(t, g.cords[0])
		}
	}
	return all
}

// addCord adds a kind of cord to what is scarce.
func (s *scarce) addCord(t *problem.Problem, c *plan.OwnedCord) {
	s.cords = append(s.cords, c)
	s.one, s.many = kindsWords(t, s.cords, "cord"), kindsWords(t, s.cords, "cords")
	longest := []*plan.OwnedCord{longestOf(s.cords)}
	s.oneMore, s.manyMore = kindsWords(t, longest, "cord"), kindsWords(t, longest, "cords")
}

// longestOf is the longest of some kinds of cord, the last of those that are as long: what
// one would buy.
func longestOf(cords []*plan.OwnedCord) *plan.OwnedCord {
	longest := cords[0]
	for _, c := range cords {
		if c.Length >= longest.Length {
			longest = c
		}
	}
	return longest
}

func sortOf(t *problem.Problem, s *plan.Shortage, r plan.Scarce) scarce {
	g := scarce{count: r.Count, price: r.Price}
	switch r.What {
	case plan.ScarceCord:
		g.key = "cord"
		g.addCord(t, r.Cord)
	case plan.ScarceDummy:
		g.key, g.one, g.many = dummyScarce.key, dummyScarce.one, dummyScarce.many
	case plan.ScarceOutput:
		g.key, g.one, g.many = keyed("output", r.At.Owner, "output of {owner}", "outputs of {owner}")
	case plan.ScarceJack:
		g.key, g.one, g.many = keyed("plug", r.At.String(), "plug in {owner}", "plugs in {owner}")
		g.own = isOwn(t, s, t.Jacks[t.JackOf[r.At]].Node)
	case plan.ScarceMetal:
		n := t.Node[t.Number[r.At]]
		g.key, g.one, g.many = metalWords(t, n)
		g.own = isOwn(t, s, n)
	}
	return g
}

// isOwn says whether a source or destination of a shortage stands at a node.
func isOwn(t *problem.Problem, s *plan.Shortage, n int) bool {
	at := func(p name.Point) bool { return !p.IsZero() && t.Node[t.Number[p]] == n }
	return slices.ContainsFunc(s.Takes, func(k plan.Taking) bool { return at(k.Source) || slices.ContainsFunc(k.At, at) })
}

// metalWords are the words for metal: a mult, a tie, a jack with its matrix point or gear.
func metalWords(t *problem.Problem, n int) (key, one, many string) {
	at := &t.Nodes[n]
	var owners []string
	for _, j := range at.Jacks {
		if o := t.Owner(j); !slices.Contains(owners, o) {
			owners = append(owners, o)
		}
	}
	switch {
	case at.Mult:
		return multScarce.key, multScarce.one, multScarce.many
	case len(at.Outputs) > 0:
		return keyed("output", t.Outputs[at.Outputs[0]].Matrix, "output of {owner}", "outputs of {owner}")
	case len(at.Ins) > 0:
		return keyed("input", t.Outputs[t.Crosses[at.Ins[0]].Output].Matrix, "input of {owner}", "inputs of {owner}")
	case len(owners) > 1 || len(at.Jacks) > 1 && len(at.Sources)+len(at.Inputs) == 0:
		return keyed("tie", strings.Join(owners, " and "), "tie between {owner}", "ties between {owner}")
	}
	return keyed("jack", named(t, n).String(), "jack {owner}", "jacks at {owner}")
}

// keyed are the key of a sort, and its words for one and for several.
func keyed(sort, owner, one, many string) (string, string, string) {
	return sort + " " + owner, phrase.Put(one, "owner", owner), phrase.Put(many, "owner", owner)
}

// scarceWords say what is scarce: how many it takes, and how many there are. The jack of
// a source that has to be split takes one plug in any case, and is not counted.
func scarceWords(t *problem.Problem, p *cut.Proof) string {
	s := shortageOf(t, p)
	all := scarceOf(t, s)
	own, whole := 0, true
	var others []scarce
	for _, g := range all {
		whole = whole && g.price == 1
		if g.own {
			own += g.count
			continue
		}
		others = append(others, g)
	}
	need, have := int(s.Need)-own, int(s.Have)-own
	switch {
	case len(others) == 0 && !splits(s):
		return "there is no path for them in this studio"
	case len(others) == 0 && len(s.Takes) == 1:
		return fmt.Sprintf("%s has to be split for them, and a mult is missing", s.Takes[0].Source)
	case len(others) == 0:
		return "their sources have to be split, and a mult is missing"
	case whole && len(others) == 1:
		return fmt.Sprintf("they take %s, and there %s %d", others[0].counted(need), word(have, "is", "are"), have)
	}
	var parts []string
	for _, g := range others {
		parts = append(parts, g.counted(g.count))
	}
	if whole {
		return fmt.Sprintf("they take %d of these, and there %s %d: %s", need, word(have, "is", "are"), have, strings.Join(parts, ", "))
	}
	return phrase.Put("they take more than there is: {parts}", "parts", strings.Join(parts, ", "))
}

// splits says whether a source of a shortage goes to several destinations.
func splits(s *plan.Shortage) bool {
	return slices.ContainsFunc(s.Takes, func(t plan.Taking) bool { return len(t.At) > 1 })
}
