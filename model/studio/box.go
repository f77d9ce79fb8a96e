package studio

import "bayhand/model/name"

// Box is a floor or wall box. Its sockets are single jacks, in no pair: each is
// wired or tied at its rear, and takes a lead at its front, never a cord.
type Box struct {
	Name, Label string
	// Sockets is their number.
	Sockets int
	// Jack is the kind of connector in the file's own word, such as xlr; empty
	// where nothing was said.
	Jack string
}

// Socket is socket n, written floor-a/3.
func (b Box) Socket(n int) name.Point { return name.At(b.Name, "", n) }
