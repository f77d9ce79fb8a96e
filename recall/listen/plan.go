package listen

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/model/suspect"
	"bayhand/model/tones"
)

// ErrUsage is a request that makes no sense: the person has to ask otherwise.
var ErrUsage = errors.New("asked for what cannot be")

// wrong is an ErrUsage that says what it is.
func wrong(format string, args ...any) error { return &usage{fmt.Errorf(format, args...)} }

type usage struct{ error }

func (u *usage) Is(err error) bool { return err == ErrUsage }
func (u *usage) Unwrap() error     { return u.error }

// Request is a room that is to be listened to.
type Request struct {
	Room *heard.Room
	// Session is what is wanted; one without a name where nothing is.
	Session *session.Session
	// Patch is what is told to be plugged and switched, with which the reading is
	// compared.
	Patch patch.Patch
	// OfRoom says that the patch is what the room is known to be in.
	OfRoom bool
	// Only and Not are outputs of the device, as out1-4 or interface/out1-4: those
	// that alone play, and those that do not; empty for all and none.
	Only, Not string
	// With are inputs, or gear, that may hear the sound although they are
	// loudspeakers, with commas between.
	With string
	// Muted is gear that a matrix keeps silent, as Silences found it, or that a Hold
	// mutes before anything plays (Mutable); the patch is taken with it muted.
	Muted []Silent
	// Reference is a reading that was kept as good; nil where there is none.
	Reference *Reference
}

// Plan is how a room would be listened to.
type Plan struct {
	Request
	Device studio.Gear
	// Driven are the outputs that play, by their places among the device's; LeftOut
	// are those that could come where no test sound may, which Guarded are.
	Driven  []int
	LeftOut []suspect.Reach
	Guarded []name.Point
	Comb    *tones.Comb
	// heard is the patch with what is muted meanwhile.
	heard patch.Patch
	// shares are those of outputs in a part of the plan, by their places; nil for the
	// whole, where each has the share of its place.
	shares map[int]int
}

// UsualRate is that of a device whose file does not say, in samples a second.
const UsualRate = 48000

// Prepare makes the plan of a request. ErrUsage is a studio without one sound
// device, or a request for ports that it has not. It takes the time of hearing the
// room once for each single mistake.
func Prepare(r Request) (*Plan, error) {
	l := &Plan{Request: r, heard: Switched(r.Patch, meanwhile(r.Muted))}
	if err := l.findDevice(); err != nil {
		return nil, err
	}
	if err := l.findDriven(); err != nil {
		return nil, err
	}
	var err error
	// Each output of the device has its tones whether it plays or not, so that a
	// recording is never read with the names of another choice of outputs.
	if l.Comb, err = tones.New(l.Rate(), len(l.Device.Sound.Outputs)); err != nil {
		return nil, wrong("%s: %w", l.Device.Name, err)
	}
	return l, nil
}

// Rate is that of the device, in samples a second.
func (l *Plan) Rate() int {
	if l.Device.Sound.Rate == 0 {
		return UsualRate
	}
	return l.Device.Sound.Rate
}

// Seconds is how long one pass takes.
func (l *Plan) Seconds() float64 { return float64(l.Comb.Timing().Length) / float64(l.Comb.Rate) }

func (l *Plan) findDevice() error {
	var found []studio.Gear
	for _, g := range l.Room.Studio().Gear {
		if g.Sound != nil && len(g.Sound.Outputs) > 0 && len(g.Sound.Inputs) > 0 {
			found = append(found, g)
		}
	}
	switch len(found) {
	case 0:
		return wrong("no gear of the studio is a sound device with outputs and inputs; write sound: {link: files} beside its ports")
	case 1:
		l.Device = found[0]
		return nil
	}
	return wrong("%s and %s are both sound devices; the room is listened to by one", found[0].Name, found[1].Name)
}

// findDriven chooses the outputs that play.
func (l *Plan) findDriven() error {
	only, err := l.Ports(l.Only, "only")
	if err != nil {
		return err
	}
	not, err := l.Ports(l.Not, "not")
	if err != nil {
		return err
	}
	l.Guarded = l.noSound(strings.Split(l.With, ","))
	risk := map[name.Point]suspect.Reach{}
	for _, r := range l.risks() {
		risk[r.Output] = r
	}
	silent := l.neverDriven()
	for i, ch := range l.Device.Sound.Outputs {
		r, risky := risk[ch.Port]
		switch {
		case slices.Contains(silent, ch.Port) || l.Only != "" && !slices.Contains(only, ch.Port) || slices.Contains(not, ch.Port):
		case risky:
			l.LeftOut = append(l.LeftOut, r)
		default:
			l.Driven = append(l.Driven, i)
		}
	}
	return nil
}

// Ports are ports of the device that a flag names, as out1-4 or interface/out1-4.
func (l *Plan) Ports(text, flag string) ([]name.Point, error) {
	if text == "" {
		return nil, nil
	}
	if !strings.Contains(text, "/") {
		text = l.Device.Name + "/" + text
	}
	points, err := name.List(text)
	if err != nil {
		return nil, wrong("--%s: %w", flag, err)
	}
	for _, p := range points {
		if !slices.ContainsFunc(l.Device.Ports, func(q studio.Port) bool { return q.Point == p }) {
			return nil, wrong("--%s: %s is no port of %s", flag, p, l.Device.Name)
		}
	}
	return points, nil
}

// neverDriven are the device's own ports that no test sound may be played from.
func (l *Plan) neverDriven() []name.Point {
	var found []name.Point
	for _, p := range l.Device.Ports {
		if p.NoTest || l.Device.NoTest {
			found = append(found, p.Point)
		}
	}
	return found
}

// noSound are the inputs that no test sound may come to, but those that with names or a
// matrix mutes.
func (l *Plan) noSound(with []string) []name.Point {
	return suspect.Spared(l.Room.Graph(), func(gear string, input name.Point) bool {
		named := slices.ContainsFunc(with, func(w string) bool { return w == gear || w == input.String() })
		return named || slices.ContainsFunc(l.Muted, func(m Silent) bool { return m.Gear == gear })
	})
}

// risks are the outputs that could come to those.
func (l *Plan) risks() []suspect.Reach {
	return suspect.Risks(suspect.Setup{Room: l.Room, Patch: l.heard, Inside: l.Session.Inside, Outputs: l.Outputs(nil)}, l.Guarded)
}

// Outputs are the device's outputs at places, or all.
func (l *Plan) Outputs(places []int) []name.Point {
	var found []name.Point
	for i, ch := range l.Device.Sound.Outputs {
		if places == nil || slices.Contains(places, i) {
			found = append(found, ch.Port)
		}
	}
	return found
}

// Scene is what should be heard of the outputs that play, at some inputs.
func (l *Plan) Scene(inputs []name.Point) *suspect.Scene {
	return suspect.New(suspect.Setup{
		Room: l.Room, Patch: l.heard, Inside: l.Session.Inside, Reference: l.Reference.paths(),
		Outputs: l.Outputs(l.Driven), Inputs: inputs,
	})
}

// Inputs are the device's inputs that are recorded, in the order of its channels.
func (l *Plan) Inputs() []name.Point {
	var found []name.Point
	for _, ch := range l.Device.Sound.Inputs {
		found = append(found, ch.Port)
	}
	return found
}

// ErrNothingPlays is a plan in which no output may play.
var ErrNothingPlays = errors.New("no output may play")

// NeedDriven refuses to play nothing: ErrNothingPlays where each output is left out
// for safety.
func (l *Plan) NeedDriven() error {
	if len(l.Driven) > 0 {
		return nil
	}
	if len(l.LeftOut) > 0 {
		r := l.LeftOut[0]
		return fmt.Errorf("%w: every output could come to a place that no test sound may come to, such as %s to %s; mute it and name it with --with %s", ErrNothingPlays, r.Output, r.Input, r.Input.Owner)
	}
	return wrong("no output is left to play")
}

// Channels is the share of each channel of the device; negative where it is
// silent.
func (l *Plan) Channels() []int {
	outs := l.Device.Sound.Outputs
	played := slices.Repeat([]int{-1}, outs[len(outs)-1].Channel)
	for _, i := range l.Driven {
		played[outs[i].Channel-1] = l.share(i)
	}
	return played
}

// share is the share of the comb that an output plays.
func (l *Plan) share(place int) int {
	if l.shares == nil {
		return place
	}
	return l.shares[place]
}

// groups are the plan in parts whose outputs play together, in the plan's order.
func (l *Plan) groups(n int) ([]*Plan, error) {
	if n <= 1 || len(l.Driven) == 1 {
		return []*Plan{l}, nil
	}
	var all []*Plan
	size := (len(l.Driven) + n - 1) / n
	for driven := range slices.Chunk(l.Driven, size) {
		comb, err := tones.New(l.Rate(), len(driven))
		if err != nil {
			return nil, err
		}
		one := *l
		one.Driven, one.Comb, one.shares = driven, comb, map[int]int{}
		for share, place := range driven {
			one.shares[place] = share
		}
		all = append(all, &one)
	}
	return all, nil
}
