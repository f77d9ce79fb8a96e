package main

import (
	"context"
	"sync"

	"bayhand/drivers/matrix"
	"bayhand/model/studio"
	"bayhand/recall/words"
)

// displays puts the studio's names on the displays of matrices that have one, each time
// a link is opened. Only whoever keeps the room does so: for one command it would take
// longer than the command.
type displays struct {
	// mu guards the studio, which is nil for no names.
	mu     sync.Mutex
	wanted bool
	studio *studio.Studio
}

// want has names put on displays from now on.
func (d *displays) want() { d.wanted = true }

// read takes in the studio as its file has it now.
func (d *displays) read(s *studio.Studio) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.studio = s
}

// label names the outputs and inputs of a matrix on its device. A device that would
// rather not is driven all the same: a name is no crosspoint.
func (d *displays) label(ctx context.Context, m studio.Matrix, driven *matrix.Matrix) {
	d.mu.Lock()
	s := d.studio
	d.mu.Unlock()
	if !d.wanted || s == nil {
		return
	}
	outputs, inputs := words.OnDisplays(s, m)
	_ = driven.Label(ctx, outputs, inputs)
}
