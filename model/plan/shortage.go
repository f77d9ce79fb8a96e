package plan

import (
	"bayhand/model/measure"
	"bayhand/model/name"
)

// Shortage is why a session cannot be given, by counting: some of what it asks takes
// more of something than there is. Each of Takes uses of what is scarce what costs
// Least or more, whatever the patch, and no two of them use the same piece. All that
// there is of it is worth Have, which is less than Need, the sum of what they take.
type Shortage struct {
	Takes []Taking `json:"takes"`
	Of    []Scarce `json:"of"`
	Need  float64  `json:"need"`
	Have  float64  `json:"have"`
	// Without are the wants and silences that are left out of the session that it is about.
	Without []string `json:"without,omitempty"`
}

// Taking is something that the session asks: a source that comes to some destinations,
// or a normal between two jacks that has to be broken by a plug that carries nothing.
type Taking struct {
	Source name.Point   `json:"source,omitzero"`
	At     []name.Point `json:"at,omitempty"`
	Break  []name.Point `json:"break,omitempty"`
	Least  float64      `json:"least"`
	// NoWay says that it cannot be had whatever else is left out; Least is 0 then.
	NoWay bool `json:"noWay,omitempty"`
}

// Scarce is something of which there is so much, each at a price.
type Scarce struct {
	What ScarceKind `json:"what"`
	// At is a point of the metal, the jack, or the output of a matrix.
	At name.Point `json:"at,omitzero"`
	// Cord is the kind of cord.
	Cord  *OwnedCord `json:"cord,omitempty"`
	Count int        `json:"count"`
	Price float64    `json:"price"`
	// Elsewhere is how many more are owned, which sessions in other rooms have.
	Elsewhere int `json:"elsewhere,omitempty"`
}

// OwnedCord is a kind of cord in stock.
type OwnedCord struct {
	Length measure.Length `json:"length"`
	// Ends are the kinds of plug, in words of the file; empty where any fit.
	Ends   [2]string `json:"ends"`
	Poles  int       `json:"poles,omitempty"`
	Colour string    `json:"colour,omitempty"`
}

// ScarceKind says what is scarce.
type ScarceKind string

// Metal that no patch parts carries one signal; a jack takes one plug; an output of a
// matrix of relays one crosspoint; so many cords and dummies are owned.
const (
	ScarceMetal  ScarceKind = "metal"
	ScarceJack   ScarceKind = "jack"
	ScarceCord   ScarceKind = "cord"
	ScarceDummy  ScarceKind = "dummy"
	ScarceOutput ScarceKind = "output"
)

// Addition is so much more of something, with which the studio could give what it cannot.
type Addition struct {
	What  AddedKind `json:"what"`
	Count int       `json:"count"`
	// AtMost says that fewer may do: the search for a plan with one less came to no end.
	AtMost bool `json:"at-most,omitempty"`
	// Cord is the kind of cord; its colour is empty where any would do.
	Cord *OwnedCord `json:"cord,omitempty"`
	// Of are the bays of a tie, the bay beside which a mult hangs, or a matrix and the
	// bay that its output or input is wired to.
	Of []string `json:"of,omitempty"`
	// And is what has to be added with it.
	And []Addition `json:"and,omitempty"`
}

// AddedKind says what is added.
type AddedKind string

// A mult has four jacks; an output or input of a matrix is wired to a jack of its own.
const (
	AddedCord   AddedKind = "cord"
	AddedDummy  AddedKind = "dummy"
	AddedTie    AddedKind = "tie"
	AddedMult   AddedKind = "mult"
	AddedOutput AddedKind = "output"
	AddedInput  AddedKind = "input"
)
