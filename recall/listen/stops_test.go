package listen_test

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	device "bayhand/drivers/sound"
	"bayhand/model/studio"
	"bayhand/model/tones"
	"bayhand/recall/listen"
	"bayhand/simulators/sound"
)

// grows is gear that gives a tone of itself, which from a sample on grows by a factor
// each sample.
type grows struct {
	at, from    int
	size, by    float64
	frequencies float64
}

func (g *grows) Step(float64) float64 {
	g.at++
	if g.at > g.from {
		g.size *= g.by
	}
	return g.size * math.Sin(float64(g.at)*g.frequencies)
}

// stop is one measurement that something stops.
type stop struct {
	*hearing
	asked, at, last int
	cancel          context.CancelFunc
	// due says, sample by sample, when the sound must stop; v is what in1 hears.
	due func(at int, v float64) bool
}

func newStop(t *testing.T) *stop {
	told := cords([2]int{2, 2}, [2]int{5, 1})
	s := &stop{hearing: newHearing(t, small, told, told)}
	s.room.Device.Late = 0
	s.room.Ears = s.room.Inputs[:1]
	return s
}

// run measures, and gives the error and how many samples after it was due the last
// sound was heard.
func (s *stop) run() (late int, err error) {
	ctx, cancel := context.WithCancel(s.Context())
	defer cancel()
	s.cancel = cancel
	open := func(link string, f listen.Format) (listen.Device, error) {
		d, err := s.open(link, f)
		s.at, s.asked, s.last = 0, 0, 0 // it is opened anew after samples were lost
		s.hearing.last.Sounding = func(outputs, ears []float64) {
			s.at++
			if s.asked == 0 && s.due(s.at, ears[0]) {
				s.asked = s.at
			}
			for _, v := range outputs {
				if math.Abs(v) > 1e-6 {
					s.last = s.at
				}
			}
		}
		return d, err
	}
	_, err = s.plan("").Measure(ctx, open, listen.Way{Quiet: true})
	return s.last - s.asked, err
}

// ways are what stops a measurement at about a sample, and the error that it then ends with.
var ways = []struct {
	name string
	make func(s *stop, when int)
	ends func(err error) bool
}{
	{"stopped", func(s *stop, when int) {
		s.due = func(at int, _ float64) bool {
			if at == when {
				s.cancel()
			}
			return at == when
		}
	}, is(listen.ErrStopped)},
	{"samples are lost", func(s *stop, when int) {
		s.room.Troubles = sound.Troubles{Lost: when, LostTimes: 9}
		s.due = func(at int, _ float64) bool { return at == when }
	}, is(device.ErrLost)},
	{"nothing comes", func(s *stop, when int) {
		s.room.Troubles = sound.Troubles{Silent: when}
		s.due = func(at int, _ float64) bool { return at == when }
	}, is(device.ErrNoInput)},
	// Ten samples above -1 dBFS. Where a block ends before the tenth it is a howl.
	{"at full scale at once", func(s *stop, when int) {
		s.plays(&grows{from: when, size: 1e-5, by: 1.5, frequencies: 0.03})
		run := 0
		s.due = func(_ int, v float64) bool {
			run++
			if math.Abs(v) < tones.Ratio(-1) {
				run = 0
			}
			return run == 10
		}
	}, loud},
	// 8 dB in a tenth of a second, from a level that the test sound explains: it is a howl
	// when it is above that, and long before full scale.
	{"a howl", func(s *stop, when int) {
		s.plays(&grows{from: when, size: 1e-3, by: math.Pow(10, 8.0/20/4800), frequencies: 0.3})
		s.due = func(_ int, v float64) bool { return math.Abs(v) > tones.Ratio(-20) }
	}, loud},
}

func loud(err error) bool { return halted(err, tones.Howls) || halted(err, tones.TooLoud) }

func is(want error) func(error) bool { return func(err error) bool { return errors.Is(err, want) } }

// Whatever stops the sound, at whatever sample: 20 ms later nothing is heard of it
// any more, sample by sample in the simulated room. BAYHAND_STOPS says how often each way.
func TestEveryStopIsSilentWithin20Milliseconds(t *testing.T) {
	finds(t)
	const most = 960 // samples
	stops := 3
	if asked, err := strconv.Atoi(os.Getenv("BAYHAND_STOPS")); err == nil {
		stops = asked
	}
	r := rand.New(rand.NewPCG(20, 0))
	for _, way := range ways {
		latest, before := 0, 0
		for range stops {
			when := 30_000 + r.IntN(90_000)
			s := newStop(t)
			way.make(s, when)
			late, err := s.run()
			if s.asked == 0 && loud(err) {
				late, before = 0, before+1
			}
			if !way.ends(err) || late > most {
				t.Errorf("%s at %d: %v, %d samples late", way.name, when, err, late)
			}
			latest = max(latest, late)
		}
		t.Logf("%s, %d times: the last sound at most %d samples late; %d times before it was loud", way.name, stops, latest, before)
	}
}

// plays puts a box in place of the effect.
func (s *stop) plays(b sound.Box) {
	s.room.Boxes = map[studio.Pass]sound.Box{}
	for _, g := range s.studio.Gear {
		for _, pass := range g.Passes {
			s.room.Boxes[pass] = b
		}
	}
}

func halted(err error, reason tones.Reason) bool {
	var h *listen.Halted
	return errors.As(err, &h) && h.Reason == reason
}
