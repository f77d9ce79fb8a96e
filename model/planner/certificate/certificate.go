// Package certificate checks a proof by counting that a session cannot be given, from
// the studio, the session and the patch that is in alone. It knows no search and
// nothing of how the proof was found: it works out anew, under the prices of the proof,
// what each thing that is asked costs at least, and what all that is scarce is worth.
//
// The argument: in any patch that gives the session, what brings one source to its
// destinations is metal and crosspoints that nothing else uses, since two drivers on one
// net are a fault, a jack takes one plug, and a cord is in one place. So the costs of
// what is asked add up, and cannot be more than all is worth.
package certificate

import (
	"fmt"
	"math"

	"bayhand/model/graph"
	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner/stock"
	"bayhand/model/session"
)

// Check says what is wrong with a proof; nil where it proves that no patch of the room
// gives the session. From is the patch that is in: its cords are owned, too.
func Check(room *heard.Room, from patch.Patch, s *session.Session, proof *plan.Shortage) error {
	c, err := newChecker(room.For(s, from), from, s)
	if err != nil {
		return err
	}
	if len(proof.Takes) == 0 {
		return fmt.Errorf("the proof has nothing that is asked")
	}
	have, err := c.readPrices(proof.Of)
	if err != nil {
		return err
	}
	need := 0.0
	for _, t := range proof.Takes {
		least, err := c.least(t)
		if err != nil {
			return err
		}
		if t.NoWay && math.IsInf(least, 1) {
			return nil
		}
		if t.NoWay || t.Least > least+tolerance {
			return fmt.Errorf("%s takes %g at least, not %g", taker(t), least, t.Least)
		}
		need += t.Least
	}
	if need <= have+tolerance {
		return fmt.Errorf("what is asked takes %g, and there is %g", need, have)
	}
	return nil
}

// taker is what takes something, in words.
func taker(t plan.Taking) string {
	if len(t.Break) == 2 {
		return fmt.Sprintf("the normal of %s and %s", t.Break[0], t.Break[1])
	}
	return t.Source.String()
}

// tolerance is what sums of prices may differ by for the way in which they were added.
const tolerance = 1e-7

// checker is a room and a session, with the prices of a proof.
type checker struct {
	*graph.Graph
	session *session.Session
	stock   stock.Stock
	present graph.Patch
	asks    []ask // by point
	wanted  map[int]bool

	ofNode, ofJack, ofOutput, ofKind []float64
	ofDummy                          float64
	// used are the sources and jacks of what was counted already: nothing twice.
	usedSource, usedJack map[int]bool
}

func newChecker(room *heard.Room, from patch.Patch, s *session.Session) (*checker, error) {
	g := room.Graph()
	present, err := g.Numbered(from)
	if err != nil {
		return nil, err
	}
	var kept []patch.Patch
	if s.Patch != nil {
		kept = append(kept, *s.Patch)
	}
	c := &checker{
		Graph: g, session: s, present: present, stock: stock.New(g, from, present, kept...), asks: make([]ask, len(g.Points)), wanted: map[int]bool{},
		ofNode: make([]float64, len(g.Nodes)), ofJack: make([]float64, len(g.Jacks)), ofOutput: make([]float64, len(g.Outputs)),
		usedSource: map[int]bool{}, usedJack: map[int]bool{},
	}
	c.ofKind = make([]float64, len(c.stock.Kinds))
	c.readAsks(room)
	return c, nil
}

// readPrices is what all that is scarce is worth.
func (c *checker) readPrices(of []plan.Scarce) (have float64, err error) {
	for _, s := range of {
		price, count := c.priced(s)
		called := string(s.What)
		if !s.At.IsZero() {
			called += " " + s.At.String()
		}
		switch {
		case price == nil:
			return 0, fmt.Errorf("the room has no %s", called)
		case *price != 0 || s.Price <= 0:
			return 0, fmt.Errorf("%s has a price twice, or none", called)
		case s.Count < count:
			return 0, fmt.Errorf("of %s there are %d, not %d", called, count, s.Count)
		}
		*price = s.Price
		have += s.Price * float64(count)
	}
	return have, nil
}

// priced is where the price of something scarce is kept, and how many there are of it.
func (c *checker) priced(s plan.Scarce) (price *float64, count int) {
	switch at, known := c.Number[s.At]; s.What {
	case plan.ScarceMetal:
		if known {
			return &c.ofNode[c.Node[at]], 1
		}
	case plan.ScarceJack:
		if j, ok := c.JackOf[s.At]; ok {
			return &c.ofJack[j], 1
		}
	case plan.ScarceOutput:
		if o, ok := c.OutputOf[s.At]; ok && c.Outputs[o].Relay {
			return &c.ofOutput[o], 1
		}
	case plan.ScarceDummy:
		if owned := stock.Dummies(c.Studio, c.present); owned >= 0 {
			return &c.ofDummy, owned
		}
	case plan.ScarceCord:
		return c.pricedCord(s.Cord)
	}
	return nil, 0
}

// pricedCord is the first kind of the stock that is as described and has no price yet.
func (c *checker) pricedCord(is *plan.OwnedCord) (price *float64, count int) {
	if c.stock.Unlimited || is == nil {
		return nil, 0
	}
	for k, kind := range c.stock.Kinds {
		same := kind.Length == is.Length && kind.Ends[0].String() == is.Ends[0] && kind.Ends[1].String() == is.Ends[1] &&
			kind.Poles == is.Poles && kind.Colour == is.Colour
		if same && c.ofKind[k] == 0 {
			return &c.ofKind[k], c.stock.Counts[k]
		}
	}
	return nil, 0
}

// least is what something that is asked costs at least.
func (c *checker) least(t plan.Taking) (float64, error) {
	if len(t.Break) == 2 {
		return c.leastBreak([2]name.Point{t.Break[0], t.Break[1]})
	}
	s, ok := c.SourceOf[t.Source]
	if !ok || c.usedSource[s] || len(t.At) == 0 {
		return 0, fmt.Errorf("%s is no source, or counted twice, or goes nowhere", t.Source)
	}
	c.usedSource[s] = true
	var wants []session.Want
	for _, at := range t.At {
		w, ok := c.asked(t.Source, at)
		if !ok {
			return 0, fmt.Errorf("the session does not ask for %s -> %s", t.Source, at)
		}
		wants = append(wants, w)
	}
	return newForest(c, s, wants).least(), nil
}

func (c *checker) asked(source, at name.Point) (session.Want, bool) {
	for _, w := range c.session.Wants {
		if w.Source == source && w.Destination == at {
			return w, true
		}
	}
	return session.Want{}, false
}
