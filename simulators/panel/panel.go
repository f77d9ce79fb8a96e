package panel

import (
	"sync"

	"bayhand/model/phrase"
	"bayhand/simulators/line"
	"bayhand/simulators/matrix"
)

// Panel is the front of one matrix. It is safe for concurrent use.
type Panel struct {
	matrix *matrix.Matrix
	title  string

	// mu guards the fields below.
	mu     sync.Mutex
	cursor matrix.Crosspoint
	heard  []line.Traffic
	// note is what the last key or line came to; empty for nothing to say.
	note string
	// stir has room for one: something is to be drawn anew.
	stir chan struct{}
}

// New makes the panel of a matrix under a title, such as the device's name and
// where it listens. The cursor is on the first crosspoint.
func New(m *matrix.Matrix, title string) *Panel {
	return &Panel{matrix: m, title: title, cursor: matrix.Crosspoint{Output: 1, Input: 1}, stir: make(chan struct{}, 1)}
}

// Name changes the title.
func (p *Panel) Name(title string) {
	p.mu.Lock()
	p.title = title
	p.mu.Unlock()
	p.redraw()
}

func (p *Panel) redraw() {
	select {
	case p.stir <- struct{}{}:
	default: // it is to be drawn anew already
	}
}

// Key is one key of the panel.
type Key uint8

const (
	// KeyUnknown is any other key; it does nothing.
	KeyUnknown Key = iota
	// Up, Down, Left and Right move the cursor.
	Up
	Down
	Left
	Right
	// Turn closes the crosspoint under the cursor, or opens it if it is closed.
	Turn
	// OpenAll opens every crosspoint.
	OpenAll
	// Leave ends the panel.
	Leave
)

// Press does what a key does and says whether the panel goes on.
func (p *Panel) Press(k Key) bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.note = ""
	switch k {
	case Up:
		p.move(-1, 0)
	case Down:
		p.move(1, 0)
	case Left:
		p.move(0, -1)
	case Right:
		p.move(0, 1)
	case Turn:
		p.turn()
	case OpenAll:
		p.tell(p.matrix.OpenAll(matrix.Front))
	case Leave:
		return false
	case KeyUnknown:
	}
	p.redraw()
	return true
}

// move keeps the cursor in the matrix; the caller holds mu.
func (p *Panel) move(down, right int) {
	outputs, inputs := p.matrix.Size()
	p.cursor.Output = matrix.Output(min(max(int(p.cursor.Output)+down, 1), outputs))
	p.cursor.Input = matrix.Input(min(max(int(p.cursor.Input)+right, 1), inputs))
}

func (p *Panel) turn() {
	closed := p.matrix.Closed(p.cursor)
	if closed {
		p.tell(p.matrix.Open(matrix.Front, p.cursor))
	} else {
		p.tell(p.matrix.Close(matrix.Front, p.cursor))
	}
	if p.note == "" && p.matrix.Closed(p.cursor) == closed {
		p.note = phrase.Put("{crosspoint} does not move", "crosspoint", p.cursor.String())
	}
}

func (p *Panel) tell(err error) {
	if err != nil {
		p.note = err.Error()
	}
}
