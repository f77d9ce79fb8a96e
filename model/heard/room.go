// Package heard says what is heard where.
//
// Everything joined by metal is one net: a jack's front and rear, the two jacks
// of a pair while its normal holds, the ends of a cord, a lead, a wire, a tie,
// the jacks of a mult, and the input and output of a closed relay. Outputs of
// gear drive a net, inputs of gear listen to it. In a matrix of amplifiers each
// input listens, each output drives, and a crosspoint carries one way. A
// destination hears every gear output that drives its net, and all that the
// inputs behind each matrix output on its net hear.
//
// A Room is a studio made ready for these questions; a State is the room with
// one patch in it. Both are immutable. The package judges nothing but whether a
// session is given; what an experienced hand would say of it is package check.
package heard

import (
	"bayhand/model/graph"
	"bayhand/model/name"
	"bayhand/model/studio"
)

// What a joint is made of, in the words that a person reads.
const (
	ByWire       = graph.ByWire
	ByNormal     = graph.ByNormal
	ByStrap      = graph.ByStrap
	ByCord       = graph.ByCord
	ByLead       = graph.ByLead
	ByTie        = graph.ByTie
	ByMult       = graph.ByMult
	ByParallel   = graph.ByParallel
	ByCrosspoint = graph.ByCrosspoint
)

// Room is a studio made ready for computing. It is immutable and safe for
// concurrent use.
type Room struct {
	// described is the studio as its file has it; studio has only the passes that
	// hold with what its gear selects.
	described, studio *studio.Studio
	graph             *graph.Graph
}

// NewRoom makes a studio ready. It takes time linear in the size of the studio.
// Wires and ties to points that the studio does not have are left out: the
// reader has refused them.
func NewRoom(s *studio.Studio) *Room {
	in := selected(s)
	return &Room{described: s, studio: in, graph: graph.New(in)}
}

// Studio is the studio that the room was made from, with only the passes that
// hold with what its gear selects; it must not be changed.
func (r *Room) Studio() *studio.Studio { return r.studio }

// Graph is the room by numbers.
func (r *Room) Graph() *graph.Graph { return r.graph }

// Has says whether the room has the point.
func (r *Room) Has(p name.Point) bool { return r.graph.Has(p) }
