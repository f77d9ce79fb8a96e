package panel

import (
	"slices"

	"bayhand/simulators/line"
)

const (
	// keptTraffic and keptBytes bound what is remembered of the line.
	keptTraffic = 64
	keptBytes   = 256
)

// Heard tells the panel of bytes on the line. Bytes that go on with what came
// before in the same direction are shown with it.
func (p *Panel) Heard(t line.Traffic) {
	if len(t.Bytes) == 0 {
		return
	}
	p.mu.Lock()
	p.hear(t)
	p.mu.Unlock()
	p.redraw()
}

func (p *Panel) hear(t line.Traffic) {
	if last := len(p.heard) - 1; last >= 0 && goesOn(p.heard[last], t) {
		p.heard[last].Bytes = clipped(append(p.heard[last].Bytes, t.Bytes...))
		return
	}
	if len(p.heard) == keptTraffic {
		p.heard = append(p.heard[:0], p.heard[1:]...)
	}
	t.Bytes = clipped(slices.Clone(t.Bytes))
	p.heard = append(p.heard, t)
}

func clipped(bytes []byte) []byte { return bytes[:min(len(bytes), keptBytes)] }

// goesOn says whether more bytes belong to what passed before: it has not come
// to the end of a line or of a system exclusive, and has room.
func goesOn(before, more line.Traffic) bool {
	last := before.Bytes[len(before.Bytes)-1]
	return before.Received == more.Received && last != '\n' && last != 0xF7 && len(before.Bytes) < keptBytes
}
