package sound

import (
	"errors"
	"math"
)

// What a simulated device fails with, as a real one does.
var (
	ErrBusy = errors.New("another program uses the sound device")
	ErrGone = errors.New("the sound device is gone")
	ErrLost = errors.New("the sound device lost samples")
	// ErrNoInput is a device that is open and gives nothing any more.
	ErrNoInput = errors.New("nothing came from the sound device for 0.2 s")
)

// Troubles are what a device does wrong while it plays. Places are in samples from
// its opening; 0 is never.
type Troubles struct {
	Busy bool
	// Gone is when it is pulled, Silent when it stops giving anything.
	Gone, Silent int
	// Lost is when it loses samples and says so, in each of the first LostTimes
	// openings.
	Lost, LostTimes int
	// Skipped is when it leaves out 64 samples and says nothing.
	Skipped int
}

// Player is the room's sound device while it plays and records. It goes as fast as
// it is asked, and holds Buffer samples between what it took and what is heard.
type Player struct {
	// Sounding is told the voltages of each sample: of the device's outputs, and of
	// the inputs that are the room's ears. It may be nil.
	Sounding func(outputs, ears []float64)

	room   *Room
	air    *air
	input  converter
	queue  []float32 // frames that are not heard yet
	at     int       // samples that were heard
	late   []float32 // frames that were recorded and not given yet
	clock  *clock    // of the inputs; nil where there is one clock
	frames []float64 // that it recorded last
	failed error
}

// Buffer is how many samples a device holds: 50 ms at 48,000 samples a second.
const Buffer = 2400

// fade is how long a stop takes, in samples: 10 ms at 48,000 samples a second.
const fade = 480

// Play opens the room's sound device.
func (r *Room) Play() (*Player, error) {
	if r.Troubles.Busy {
		return nil, ErrBusy
	}
	a, err := r.air()
	if err != nil {
		return nil, err
	}
	r.opened++
	p := &Player{room: r, air: a, input: r.Device.converter(uint64(r.opened)),
		queue: make([]float32, Buffer*len(r.Outputs)),
		late:  make([]float32, r.Device.Late*len(r.Inputs))}
	if r.Device.Clock != 0 {
		p.clock = newClock(r.Device.Clock, len(r.Inputs))
	}
	return p, nil
}

// Exchange takes whole frames to be played, and gives as many that were recorded.
func (p *Player) Exchange(played, heard []float32) error {
	p.queue = append(p.queue, played...)
	for range len(played) / len(p.room.Outputs) {
		if err := p.trouble(); err != nil {
			return err
		}
		p.sample(1)
	}
	n := copy(heard, p.late)
	p.late = p.late[n:]
	return nil
}

// trouble is what goes wrong at this sample.
func (p *Player) trouble() error {
	t := p.room.Troubles
	at := func(when int) bool { return when > 0 && p.at >= when }
	switch {
	case p.failed != nil:
	case at(t.Gone):
		p.failed = ErrGone
	case at(t.Silent):
		p.failed = ErrNoInput
	case at(t.Lost) && p.room.opened <= t.LostTimes:
		p.failed = ErrLost
	case t.Skipped > 0 && p.at == t.Skipped:
		given := len(p.late)
		for range 64 {
			p.sample(1)
		}
		p.late = p.late[:given]
	}
	return p.failed
}

// sample lets one frame of the queue be heard, by a factor, and records it.
func (p *Player) sample(factor float64) {
	outs := len(p.room.Outputs)
	for ch := range outs {
		v := float32(0)
		if len(p.queue) >= outs {
			v = p.queue[ch]
		}
		p.air.out[ch] = factor * float64(v)
	}
	p.queue = p.queue[min(outs, len(p.queue)):]
	p.air.step()
	p.at++
	if p.Sounding != nil {
		p.Sounding(p.air.out[:outs], p.air.in[len(p.air.in)-len(p.room.Ears):])
	}
	p.record(p.air.in[:len(p.room.Inputs)])
}

// record converts one frame: by the device's own clock where that is another one.
func (p *Player) record(frame []float64) {
	if p.clock != nil {
		p.frames = p.clock.take(p.frames[:0], frame)
		frame = p.frames
	}
	for _, x := range frame {
		p.late = append(p.late, p.input.sample(x, p.at))
	}
}

// Stop lets what is to be heard next fall to silence in 10 ms, and drops the rest.
// A device that is gone is silent at once.
func (p *Player) Stop() error {
	for i := range fade {
		if len(p.queue) == 0 || p.failed == ErrGone {
			break
		}
		p.sample((1 + math.Cos(math.Pi*float64(i+1)/fade)) / 2)
	}
	p.queue = nil
	return nil
}

// Close stops.
func (p *Player) Close() error { return p.Stop() }
