package remote

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/google/go-cmp/cmp"

	"bayhand/drivers/program"
	"bayhand/model/plan"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/recall/keep"
)

// desk is a room with its MIDI, of which everything that happens is written down.
type desk struct {
	*Remote
	t      *testing.T
	files  written
	events chan keep.Status
	// sends is what goes wrong with a Send; plugged says whether the control port is
	// there, pull takes it away.
	sends   error
	plugged bool
	pull    chan error
	// mu guards the fields below.
	mu       sync.Mutex
	lines    []string
	hear     func(program.Program)
	heardAt  string
	recalled uint64
	given    []keep.Status // recalls that nobody has heard of yet
	// echo makes what is sent to gear come to the control port.
	echo func(program.Program)
}

// written is what stands in the files.
type written struct {
	Studio   *studio.Studio
	Sessions map[string]*session.Session
}

// reading reads the files of a desk.
type reading struct{ d *desk }

func (r reading) now() (now written) {
	r.d.set(func() { now = r.d.files })
	return now
}

func (r reading) Studio() *studio.Studio                 { return r.now().Studio }
func (r reading) Session(called string) *session.Session { return r.now().Sessions[called] }
func (r reading) Sessions() map[string]*session.Session  { return r.now().Sessions }

func (d *desk) tell(format string, args ...any) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.lines = append(d.lines, fmt.Sprintf(format, args...))
}

// told is what has happened since it was asked last.
func (d *desk) told() []string {
	synctest.Wait()
	d.mu.Lock()
	defer d.mu.Unlock()
	lines := d.lines
	d.lines = nil
	return lines
}

func (d *desk) Act(_ context.Context, act keep.Act) (keep.Answer, error) {
	session := act.Session
	if session == "impossible" {
		return keep.Answer{}, keep.ErrNotGiven
	}
	d.tell("%s %s", act.Do, session)
	d.recalled++
	s := keep.Status{Session: session, Recall: d.recalled, Phase: keep.Given}
	d.mu.Lock()
	defer d.mu.Unlock()
	d.given = append(d.given, s)
	return keep.Answer{Status: s}, nil
}

// say tells what was said. Whoever recalls hears of it from the keeper and from
// the one whom it asked, in either order; here always from the one it asked first.
func (d *desk) say(line string) {
	d.tell("say %s", line)
	d.mu.Lock()
	defer d.mu.Unlock()
	for _, s := range d.given {
		d.events <- s
	}
	d.given = nil
}

func (d *desk) Events(context.Context) (<-chan keep.Status, error) { return d.events, nil }

func (d *desk) Hear(ctx context.Context, port string, ready func(), heard func(program.Program)) error {
	d.mu.Lock()
	there := d.plugged
	d.hear, d.heardAt = heard, port
	d.mu.Unlock()
	if !there {
		return errors.New("no such port")
	}
	ready()
	select {
	case err := <-d.pull:
		return err
	case <-ctx.Done():
		return nil
	}
}

func (d *desk) Send(port string, p program.Program) error {
	d.tell("%v to %s", p, port)
	if d.echo != nil {
		d.echo(p)
	}
	return d.sends
}

// press sends a Program Change to the control port.
func (d *desk) press(channel, bank, number int) {
	synctest.Wait()
	d.hear(program.Program{Channel: channel, Bank: bank, Number: number})
}

func onDesk(t *testing.T, do func(*desk)) {
	synctest.Test(t, func(t *testing.T) {
		d := &desk{t: t, events: make(chan keep.Status, 100), pull: make(chan error), plugged: true}
		d.files = written{
			Studio: &studio.Studio{
				Control: &studio.Control{Port: "usb-midi", Channel: 16},
				Gear: []studio.Gear{
					{Name: "plate", MIDI: &studio.MIDI{Port: "usb-midi", Channel: 3, First: 1}},
					{Name: "tank", MIDI: &studio.MIDI{Port: "other", Channel: 16}},
				},
			},
			Sessions: map[string]*session.Session{
				"first":      {Program: 12, Programs: []session.Program{{Gear: "plate", Number: 7}, {Gear: "tank", Number: 12}}},
				"second":     {Program: 12, Bank: 300},
				"none":       {Program: -1},
				"impossible": {Program: 13},
				"twin":       {Program: 14}, "twin too": {Program: 14},
			},
		}
		var err error
		d.Remote, err = New(Config{Files: reading{d}, Ports: d, Clock: keep.SystemClock{}, Say: d.say})
		if err != nil {
			t.Fatal(err)
		}
		ctx, stop := context.WithCancel(t.Context())
		ended := make(chan error)
		go func() { ended <- d.Run(ctx, d) }()
		do(d)
		stop()
		close(d.events)
		if err := <-ended; err != nil {
			t.Error(err)
		}
	})
}

func (d *desk) wants(lines ...string) {
	d.t.Helper()
	if diff := cmp.Diff(lines, d.told()); diff != "" {
		d.t.Errorf("-want +happened\n%s", diff)
	}
}

func TestRequests(t *testing.T) {
	onDesk(t, func(d *desk) {
		d.wants("say the control port is usb-midi, channel 16")
		d.press(16, 0, 12)
		d.wants("recall first", "say program 12 on channel 16 recalled first",
			"program 7 on channel 3 to usb-midi", "say program 7 of plate (8 on its panel): sent, not confirmed; it cannot be read back",
			"program 12 on channel 16 to other", "say program 12 of tank: sent, not confirmed; it cannot be read back")
		d.press(16, 300, 12)
		d.wants("say program 12 of bank 300 on channel 16 came back as it was sent; it is no request")
		time.Sleep(3 * time.Second)
		d.press(16, 300, 12)
		d.wants("recall second", "say program 12 of bank 300 on channel 16 recalled second")
		d.press(1, 0, 12) // not the control port's channel
		d.wants()
		d.press(16, 0, 99)
		d.wants("say program 99 on channel 16 recalls nothing: no session has program: 99")
		d.press(16, 1, 12)
		d.wants("say program 12 of bank 1 on channel 16 recalls nothing: no session has program: 12 and bank: 1")
		d.press(16, 0, 14)
		d.wants("say program 14 on channel 16 asks for twin and twin too at once; nothing was changed")
		d.press(16, 0, 13)
		if lines := d.told(); len(lines) != 1 || !strings.HasPrefix(lines[0], "say program 13 on channel 16 asked for impossible, and nothing was changed: ") {
			t.Errorf("%q", lines)
		}
	})
}

// Gear that passes on what it hears: what was sent to it comes back, and asks for
// nothing, though the channel is the one that is heard and a session has the
// program.
func TestEchoIsNoRequest(t *testing.T) {
	onDesk(t, func(d *desk) {
		synctest.Wait()
		d.echo = func(p program.Program) { p.Bank = 0; d.hear(p) }
		d.told()
		d.press(16, 0, 12)
		lines := d.told()
		if n := count(lines, "recall "); n != 1 || count(lines, "say program 12 on channel 16 came back") != 1 {
			t.Errorf("%d recalls: %q", n, lines)
		}
	})
}

func count(lines []string, beginning string) int {
	n := 0
	for _, line := range lines {
		if strings.HasPrefix(line, beginning) {
			n++
		}
	}
	return n
}

// Something answers each session with a request for the other: it is not carried
// on for ever, and the port is heeded again once it is quiet.
func TestLoopEnds(t *testing.T) {
	onDesk(t, func(d *desk) {
		other := d.files.Sessions["second"]
		other.Programs = []session.Program{{Gear: "plate", Number: 1}}
		d.echo = func(p program.Program) {
			switch {
			case p.Channel == 3 && p.Number == 7:
				d.hear(program.Program{Channel: 16, Bank: 300, Number: 12})
			case p.Channel == 3:
				d.hear(program.Program{Channel: 16, Bank: 0, Number: 12})
			}
		}
		d.files.Sessions["first"].Programs = d.files.Sessions["first"].Programs[:1]
		d.press(16, 0, 12)
		if n := count(d.told(), "recall "); n != mostInARow {
			t.Errorf("%d recalls in a loop, not %d", n, mostInARow)
		}
		if all := d.Problems(); len(all) != 1 || all[0].Code != "control-loop" {
			t.Errorf("the problems are %+v", all)
		}
		time.Sleep(quiet + time.Second)
		d.echo = nil
		d.press(16, 0, 12)
		if n := count(d.told(), "recall first"); n != 1 || len(d.Problems()) > 0 {
			t.Errorf("after it was quiet: %d recalls, %+v", n, d.Problems())
		}
	})
}

// A hand that steps through programs gets the last one.
func TestNewestRequest(t *testing.T) {
	r, err := New(Config{Files: reading{&desk{}}, Ports: &desk{}, Clock: keep.SystemClock{}})
	if err != nil {
		t.Fatal(err)
	}
	for number := range 5 {
		r.hear(program.Program{Channel: 1, Number: number})
	}
	if p := <-r.requests; p.Number != 4 {
		t.Errorf("%v is carried out", p)
	}
}

func TestPortComesAndGoes(t *testing.T) {
	onDesk(t, func(d *desk) {
		d.told()
		d.set(func() { d.plugged = false })
		d.pull <- program.ErrGone
		synctest.Wait()
		if all := d.Problems(); len(all) != 1 || all[0].Code != "control-port" {
			t.Errorf("the problems are %+v", all)
		}
		time.Sleep(retry + time.Millisecond)
		d.set(func() { d.plugged = true })
		time.Sleep(retry)
		d.wants("say control port usb-midi: the MIDI port is gone. Retrying",
			"say control port usb-midi: no such port. Retrying", "say the control port is usb-midi, channel 16")
		if all := d.Problems(); len(all) > 0 {
			t.Errorf("the problems are still %+v", all)
		}
		// The studio's file names another port, then none, then one again.
		d.control(&studio.Control{Port: "pedal"})
		d.wants("say the control port is pedal, all channels")
		d.control(&studio.Control{Port: "pedal"})
		d.control(nil)
		d.wants()
		d.control(&studio.Control{Port: "usb-midi", Channel: 2})
		d.wants("say the control port is usb-midi, channel 2")
	})
}

func (d *desk) set(change func()) {
	d.mu.Lock()
	defer d.mu.Unlock()
	change()
}

func (d *desk) control(c *studio.Control) {
	d.set(func() {
		s := *d.files.Studio
		s.Control = c
		d.files.Studio = &s
	})
	d.Look()
	synctest.Wait()
}

// Programs go out once for a recall, when the devices have done what they can.
func TestWhenProgramsAreSent(t *testing.T) {
	first := keep.Status{Session: "first", Recall: 1}
	step := plan.Step{}
	step.ID, step.Do, step.By = "2", plan.Switch, "grid"
	grid := []keep.MatrixStatus{{Name: "grid", Driven: true}}
	for name, test := range map[string]struct {
		phase keep.Phase
		left  []plan.Step
		after []string
		sent  bool
	}{
		"given":                                  {phase: keep.Given, sent: true},
		"pushing":                                {phase: keep.Pushing},
		"stuck":                                  {phase: keep.Stuck},
		"waiting":                                {phase: keep.Waiting, sent: true},
		"waiting, and a device has yet to begin": {phase: keep.Waiting, left: []plan.Step{step}},
		"waiting, and so does the device":        {phase: keep.Waiting, left: []plan.Step{step}, after: []string{"1"}, sent: true},
	} {
		t.Run(name, func(t *testing.T) {
			onDesk(t, func(d *desk) {
				d.told()
				status := first
				status.Phase, status.Left, status.Matrices = test.phase, slices.Clone(test.left), grid
				for i := range status.Left {
					status.Left[i].After = test.after
				}
				d.events <- status
				if sent := count(d.told(), "program ") > 0; sent != test.sent {
					t.Errorf("sent: %v", sent)
				}
				d.events <- status
				status.Phase, status.Left = keep.Given, nil
				d.events <- status
				if sent := count(d.told(), "program ") > 0; sent == test.sent {
					t.Errorf("when all is done, sent: %v", sent)
				}
			})
		})
	}
}

func TestProgramsThatCannotBeSent(t *testing.T) {
	onDesk(t, func(d *desk) {
		d.sends = errors.New("no such port")
		d.press(16, 0, 12)
		d.told()
		all := d.Problems()
		if len(all) != 2 || all[1].Code != "program-unsent" || !strings.Contains(all[1].Message, "program 7 of plate (8 on its panel) could not be sent to usb-midi") {
			t.Errorf("the problems are %+v", all)
		}
		d.sends = nil
		time.Sleep(echoTime + time.Second)
		d.press(16, 0, 12)
		if lines := d.told(); count(lines, "program ") != 2 || len(d.Problems()) > 0 {
			t.Errorf("%q, %+v", lines, d.Problems())
		}
	})
}

// A unit that is away may still hang on its MIDI line, or another on its channel:
// its programs are for nobody, and the stand-in's own go out as ever.
func TestProgramsOfAUnitThatIsAway(t *testing.T) {
	onDesk(t, func(d *desk) {
		d.told()
		d.set(func() {
			d.files.Sessions["first"].Substitutes = []session.Substitute{{Away: "plate", StandIn: "tank"}}
		})
		d.press(16, 0, 12)
		d.wants("recall first", "say program 12 on channel 16 recalled first",
			"say program 7 of plate is not sent: it is away, and tank stands in for it",
			"program 12 on channel 16 to other", "say program 12 of tank: sent, not confirmed; it cannot be read back")
		if all := d.Problems(); len(all) > 0 {
			t.Errorf("the problems are %+v", all)
		}
	})
}
