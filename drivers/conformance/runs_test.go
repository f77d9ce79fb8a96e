package conformance_test

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"bayhand/drivers/matrix"
	"bayhand/drivers/message"
	"bayhand/model/device"
	"bayhand/model/patch"
	simulated "bayhand/simulators/matrix"
)

// seeds are those of the runs: BAYHAND_RUNS is how many there are, or the first and
// the last of a share, such as 5000-9999. Without it they are the first usualRuns,
// and with them each fault that a device can have, at least once.
func seeds(t *testing.T) []uint64 {
	if list := told(t, "BAYHAND_RUNS"); list != nil {
		return list
	}
	list := append(between(0, usualRuns-1), everyFault()...)
	slices.Sort(list)
	return slices.Compact(list)
}

// told are the seeds that a variable tells: how many there are, or the first and the last
// of a share; nil where it tells none.
func told(t *testing.T, variable string) []uint64 {
	text := os.Getenv(variable)
	if text == "" {
		return nil
	}
	from, to, share := strings.Cut(text, "-")
	first, err := strconv.Atoi(from)
	if !share && err == nil && first > 0 {
		return between(0, first-1)
	}
	last, lastErr := strconv.Atoi(to)
	if !share || err != nil || lastErr != nil || first < 0 || last < first {
		t.Fatalf("%s is %q; it is a number of runs, or the first and the last of them such as 5000-9999", variable, text)
	}
	return between(first, last)
}

func between(first, last int) []uint64 {
	var list []uint64
	for seed := first; seed <= last; seed++ {
		list = append(list, uint64(seed))
	}
	return list
}

// everyFault are the first seeds of a device without fault, and of each fault that
// one has.
func everyFault() []uint64 {
	const kinds = 9 // none, the seven of simulated.Faults, and two of them together
	var list []uint64
	met := map[string]bool{}
	for seed := uint64(0); len(met) < kinds; seed++ {
		f := beginning(seed, time.Second).wrong
		kind := fmt.Sprint(f.Lose > 0, f.Garble > 0, f.Refuse > 0, f.Reboot > 0, f.Busy > 0, f.Wait > 0, f.Delay > 0)
		if !met[kind] {
			met[kind] = true
			list = append(list, seed)
		}
	}
	return list
}

// Whatever goes wrong on the line or in the device, what is read back is what the
// device has, or it is said that it is not known. Once all is well again, so is
// what is read.
func TestFaults(t *testing.T) {
	all := seeds(t)
	for _, d := range shipped(t) {
		t.Run(d.Name, func(t *testing.T) {
			t.Parallel()
			ends := outcomes{}
			for _, seed := range all {
				synctest.Test(t, func(t *testing.T) { newRun(t, d, seed, timeoutOf(d)).all(ends) })
			}
			t.Log(ends)
			if readsBack := ends["no read back"] == 0; readsBack && (ends["verified"] < len(all)/4 || ends["not known"] == 0) {
				t.Errorf("the faults are too many or too few: %v", ends)
			}
		})
	}
}

func timeoutOf(d *device.Description) time.Duration {
	return time.Duration(d.Pacing.Timeout) * time.Millisecond
}

// outcomes count how readings ended.
type outcomes map[string]int

// run is one life of a device with faults.
type run struct {
	*rig
	random *rand.Rand
	// late is by which timeout it is measured how late device and line are at most.
	late   time.Duration
	cable  *cable
	driven *matrix.Matrix
	unplug func()
	story  []string
}

func newRun(t *testing.T, d *device.Description, seed uint64, late time.Duration, more ...func(*rig)) *run {
	b := beginning(seed, late)
	inputs, outputs := size(d, b.most)
	own := *d
	own.Echo = b.echo
	r := &run{rig: newRig(t, &own, inputs, outputs, b.wrong), random: b.random, late: late}
	r.tell("seed %d: %dx%d, echo %v, device %+v", seed, inputs, outputs, own.Echo, b.wrong)
	for _, change := range more {
		change(r.rig)
	}
	r.connect(true)
	return r
}

// begun is what a seed says of the device of its run, and the chance of the rest.
type begun struct {
	random *rand.Rand
	most   int
	echo   bool
	wrong  simulated.Faults
}

func beginning(seed uint64, late time.Duration) begun {
	b := begun{random: rand.New(rand.NewPCG(seed, 17))}
	b.most, b.echo = 1+b.random.IntN(6), b.random.IntN(8) == 0
	b.wrong = deviceFaults(b.random, late)
	return b
}

// deviceFaults are what the device itself does wrong, in one run of three.
func deviceFaults(r *rand.Rand, timeout time.Duration) simulated.Faults {
	n := 1 + r.IntN(5)
	switch r.IntN(24) {
	case 0:
		return simulated.Faults{Lose: n}
	case 1:
		return simulated.Faults{Garble: n}
	case 2:
		return simulated.Faults{Refuse: n}
	case 3:
		return simulated.Faults{Reboot: 4 * n}
	case 4:
		return simulated.Faults{Busy: n}
	case 5:
		return simulated.Faults{Wait: n}
	case 6:
		return simulated.Faults{Delay: time.Duration(r.Int64N(int64(timeout * 29 / 10)))}
	case 7:
		return simulated.Faults{Wait: 1, Lose: 2}
	}
	return simulated.Faults{}
}

func (r *run) tell(format string, args ...any) {
	r.story = append(r.story, fmt.Sprintf(format, args...))
}

// connect plugs a new cable, as after the line came back under another name.
func (r *run) connect(faulty bool) {
	var faults []fault
	if faulty {
		for range r.random.IntN(5) {
			faults = append(faults, randomFault(r.random, 150, r.late))
		}
		slices.SortFunc(faults, func(a, b fault) int { return a.at - b.at })
	}
	r.cable = newCable([]int{0, 9600, 31250}[r.random.IntN(3)], r.random.IntN(3) == 0, faults)
	if faulty && r.random.IntN(10) == 0 {
		r.cable.toDriver.noise = noisy(r.random.Uint64())
	}
	r.tell("cable with %v", faults)
	r.driven, r.unplug = r.plug(r.cable)
}

// noisy spoils one byte of forty. It has chance of its own, since the device's
// goroutine calls it.
func noisy(seed uint64) func(b byte) []byte {
	random := rand.New(rand.NewPCG(seed, 23))
	return func(b byte) []byte {
		if random.IntN(40) > 0 {
			return []byte{b}
		}
		return randomFault(random, 1, time.Second).spoil([]byte{b})
	}
}

func (r *run) all(ends outcomes) {
	defer func() {
		r.unplug()
		if r.t.Failed() {
			for _, line := range r.story {
				r.t.Log(line)
			}
		}
	}()
	for range 3 {
		r.step(ends)
	}
	r.recover()
}

// step switches to a random patch and reads back.
func (r *run) step(ends outcomes) {
	target := r.randomPatch()
	open, closing := to(r.have(), target)
	if r.random.IntN(8) == 0 {
		delay := time.Duration(r.random.IntN(200)) * time.Millisecond
		stop := time.AfterFunc(delay, r.cable.unplug)
		defer stop.Stop()
		r.tell("pulled after %v", delay)
	}
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	if r.random.IntN(8) == 0 {
		stop := time.AfterFunc(time.Duration(r.random.IntN(1500))*time.Millisecond, cancel)
		defer stop.Stop()
	}
	err := r.driven.Switch(ctx, open, closing)
	r.tell("switch to %v: %v", target, err)
	r.plain(err)
	if err == nil && r.state.Muted() {
		r.t.Error("it switched without an error, and left the device mute")
	}
	if r.random.IntN(8) == 0 {
		r.turn()
	}
	r.readBack(ctx, ends)
}

// turn has somebody turn the device by hand.
func (r *run) turn() {
	c := simulated.Crosspoint{Output: simulated.Output(1 + r.random.IntN(r.matrix.Outputs)), Input: simulated.Input(1 + r.random.IntN(r.matrix.Inputs))}
	if err := r.state.Set(simulated.Front, c); err != nil {
		r.t.Error(err)
	}
	r.tell("turned by hand: %v", c)
}

// readBack reads, and holds what was read against what the device has.
func (r *run) readBack(ctx context.Context, ends outcomes) {
	before := r.state.Last()
	read, err := r.driven.Read(ctx)
	r.tell("read %v, %v", read, err)
	var some *matrix.UnclearError
	if errors.As(err, &some) {
		ends["not known"]++
		known := func(list []patch.Crosspoint) []patch.Crosspoint {
			return slices.DeleteFunc(slices.Clone(list), func(c patch.Crosspoint) bool { return slices.Contains(some.Outputs, c.Output) })
		}
		if have := known(r.have()); !slices.Equal(known(read), have) {
			r.t.Errorf("a wrong belief beside what is unclear: read %v, %v, and the device has %v", read, err, r.have())
		}
		return
	}
	r.plain(err)
	switch {
	case errors.Is(err, matrix.ErrNoReadBack):
		ends["no read back"]++
	case err != nil:
		ends["not known"]++
		if read != nil {
			r.t.Errorf("with the error %v it read %v", err, read)
		}
	default:
		ends["verified"]++
		if have := r.have(); !slices.Equal(read, have) && !slices.Equal(read, r.beforeRestart(have, before)) {
			r.t.Errorf("a wrong belief: read %v, and the device has %v", read, have)
		}
	}
	if errors.Is(err, matrix.ErrGone) {
		r.unplug()
		r.connect(true)
	}
}

// beforeRestart is what the device had before it restarted, if that was the last
// that happened since an event: it may have answered and then restarted, at a byte
// too many for instance, and what it answered was so.
func (r *run) beforeRestart(have []patch.Crosspoint, since int) []patch.Crosspoint {
	have = slices.Clone(have)
	events := r.state.History(since)
	for i := len(events) - 1; i >= 0 && events[i].By == simulated.Power; i-- {
		have = append(have, r.at(int(events[i].Crosspoint.Output), int(events[i].Crosspoint.Input)))
	}
	slices.SortFunc(have, patch.Crosspoint.Compare)
	return have
}

// plain says whether an error says what is wrong in a way that a holder of the
// matrix can go by.
func (r *run) plain(err error) {
	for _, known := range []error{matrix.ErrNoAnswer, matrix.ErrRefused, matrix.ErrGone, matrix.ErrNoReadBack, message.ErrValue, context.Canceled} {
		if err == nil || errors.Is(err, known) {
			return
		}
	}
	r.t.Errorf("an error of no kind: %v", err)
}

func (r *run) randomPatch() []patch.Crosspoint {
	var target []patch.Crosspoint
	for o := 1; o <= r.matrix.Outputs; o++ {
		if input := r.random.IntN(r.matrix.Inputs + 1); input > 0 {
			target = append(target, r.at(o, input))
		}
	}
	return target
}

// recover takes all faults away. A device that was left in the middle of a message
// may need some tries to find the beginning of the next.
func (r *run) recover() {
	r.unplug()
	r.o.Faults = simulated.Faults{}
	r.state.Mend()
	r.connect(false)
	target := r.randomPatch()
	var err error
	for range 5 {
		open, closing := to(r.have(), target)
		if err = r.driven.Switch(context.Background(), open, closing); err != nil {
			continue
		}
		var read []patch.Crosspoint
		if read, err = r.driven.Read(context.Background()); err == nil || errors.Is(err, matrix.ErrNoReadBack) {
			r.settle(target)
			if err == nil && !slices.Equal(read, target) || !slices.Equal(r.have(), target) {
				r.t.Errorf("when all was well again it read %v, wanted %v, and the device has %v", read, target, r.have())
			}
			return
		}
	}
	r.t.Errorf("when all was well again: %v", err)
}
