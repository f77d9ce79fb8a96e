package main

import (
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/reading"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/model/suspect"
	"bayhand/model/tones"
	"bayhand/recall/files"
)

// listening is a room that is about to be listened to.
type listening struct {
	studio  *files.Studio
	session *session.Session
	patch   patch.Patch
	// ofRoom says that the patch is what the room is known to be in.
	ofRoom bool
	room   *heard.Room
	device studio.Gear
	// driven are the outputs that play, by their places among the device's; leftOut
	// are those that could come where no test sound may.
	driven  []int
	leftOut []suspect.Reach
	guarded []name.Point
	comb    *tones.Comb
	file    string // of the reference
	refer   map[suspect.Pair]reading.Path
}

// usualRate is that of a device whose file does not say.
const usualRate = 48000

func newListening(ctx context.Context, a *app, named string, v verifying) (*listening, error) {
	p, err := a.files.sound()
	if err != nil {
		return nil, err
	}
	l := &listening{studio: p}
	if err := l.findPatch(ctx, a, named, v.patch); err != nil {
		return nil, err
	}
	l.room = p.Room.For(l.session, l.patch)
	if err := l.findDevice(); err != nil {
		return nil, err
	}
	if err := l.findDriven(v); err != nil {
		return nil, err
	}
	rate := l.device.Sound.Rate
	if rate == 0 {
		rate = usualRate
	}
	// Each output of the device has its tones whether it plays or not, so that a
	// recording is never read with the names of another choice of outputs.
	l.comb, err = tones.New(rate, len(l.device.Sound.Outputs))
	if err != nil {
		return nil, wrongUsage("%s: %w", l.device.Name, err)
	}
	if l.session.Name != "" {
		l.file = strings.TrimSuffix(a.files.library().Place().Session(l.session.Name), ".yaml") + ".reading.json"
		if l.refer, err = loadReference(l.file); err != nil {
			return nil, err
		}
	}
	return l, nil
}

// findPatch is the patch to compare with: that of a file, that which the room is
// known to be in, or, where it is not in the session named, that which would give
// it.
func (l *listening) findPatch(ctx context.Context, a *app, named, file string) (err error) {
	held := a.room.held(ctx, l.studio)
	l.session = &session.Session{Program: -1}
	if held != nil && (named == "" || named == held.Name) {
		l.session = held
	}
	switch {
	case file != "":
		if named != "" && l.session.Name == "" {
			s, err := a.files.session(l.studio, named)
			if err != nil {
				return err
			}
			l.session = s.Session
		}
		l.patch, err = a.files.named(l.studio, file)
	case named != "" && l.session.Name == "":
		l.patch, l.session, err = patchOf(ctx, a, l.studio, named)
	default:
		l.ofRoom = true
		l.patch, err = a.room.patch(ctx, l.studio)
	}
	return err
}

func (l *listening) findDevice() error {
	var found []studio.Gear
	for _, g := range l.room.Studio().Gear {
		if g.Sound != nil && len(g.Sound.Outputs) > 0 && len(g.Sound.Inputs) > 0 {
			found = append(found, g)
		}
	}
	switch len(found) {
	case 0:
		return wrongUsage("no gear of the studio is a sound device with outputs and inputs; write sound: {link: files} beside its ports")
	case 1:
		l.device = found[0]
		return nil
	}
	return wrongUsage("%s and %s are both sound devices; the room is listened to by one", found[0].Name, found[1].Name)
}

// findDriven chooses the outputs that play.
func (l *listening) findDriven(v verifying) error {
	only, err := l.ports(v.only, "only")
	if err != nil {
		return err
	}
	not, err := l.ports(v.not, "not")
	if err != nil {
		return err
	}
	l.guarded = l.noSound(strings.Split(v.with, ","))
	risk := map[name.Point]suspect.Reach{}
	for _, r := range l.risks() {
		risk[r.Output] = r
	}
	silent := l.neverDriven()
	for i, ch := range l.device.Sound.Outputs {
		r, risky := risk[ch.Port]
		switch {
		case slices.Contains(silent, ch.Port) || v.only != "" && !slices.Contains(only, ch.Port) || slices.Contains(not, ch.Port):
		case risky:
			l.leftOut = append(l.leftOut, r)
		default:
			l.driven = append(l.driven, i)
		}
	}
	return nil
}

// ports are ports of the device that a flag names, as out1-4 or interface/out1-4.
func (l *listening) ports(text, flag string) ([]name.Point, error) {
	if text == "" {
		return nil, nil
	}
	if !strings.Contains(text, "/") {
		text = l.device.Name + "/" + text
	}
	points, err := name.List(text)
	if err != nil {
		return nil, wrongUsage("--%s: %w", flag, err)
	}
	for _, p := range points {
		if !slices.ContainsFunc(l.device.Ports, func(q studio.Port) bool { return q.Point == p }) {
			return nil, wrongUsage("--%s: %s is no port of %s", flag, p, l.device.Name)
		}
	}
	return points, nil
}

// neverDriven are the device's own ports that no test sound may be played from.
func (l *listening) neverDriven() []name.Point {
	var found []name.Point
	for _, p := range l.device.Ports {
		if p.NoTest || l.device.NoTest {
			found = append(found, p.Point)
		}
	}
	return found
}

// noSound are the inputs that no test sound may come to: of loudspeakers and
// headphones, with phantom power, and with test: no, but those that with names.
func (l *listening) noSound(with []string) []name.Point {
	var found []name.Point
	for _, g := range l.room.Studio().Gear {
		for _, p := range g.Ports {
			ears := g.Role == studio.Loudspeaker || g.Role == studio.Headphone
			phantom := p.Line.Phantom && p.Line.Kind == studio.MicLevel
			named := slices.ContainsFunc(with, func(w string) bool { return w == g.Name || w == p.Point.String() })
			if p.Direction == studio.Input && (ears || phantom || g.NoTest || p.NoTest) && !named {
				found = append(found, p.Point)
			}
		}
	}
	return found
}

// risks are the outputs that could come to those.
func (l *listening) risks() []suspect.Reach {
	if len(l.guarded) == 0 {
		return nil
	}
	inside := slices.Clone(l.session.Inside)
	for _, g := range l.room.Studio().Gear {
		inside = append(inside, g.CanPass...)
	}
	return suspect.New(suspect.Setup{Room: l.room, Patch: l.patch, Inside: inside, Outputs: l.outputs(nil), Inputs: l.guarded}).Reaches()
}

// outputs are the device's outputs at places, or all.
func (l *listening) outputs(places []int) []name.Point {
	var found []name.Point
	for i, ch := range l.device.Sound.Outputs {
		if places == nil || slices.Contains(places, i) {
			found = append(found, ch.Port)
		}
	}
	return found
}

// scene is what should be heard of the outputs that play, at some inputs.
func (l *listening) scene(inputs []name.Point) *suspect.Scene {
	return suspect.New(suspect.Setup{
		Room: l.room, Patch: l.patch, Inside: l.session.Inside, Reference: l.refer,
		Outputs: l.outputs(l.driven), Inputs: inputs,
	})
}

func (l *listening) inputs() []name.Point {
	var found []name.Point
	for _, ch := range l.device.Sound.Inputs {
		found = append(found, ch.Port)
	}
	return found
}

// needDriven refuses to play nothing.
func (l *listening) needDriven() error {
	if len(l.driven) > 0 {
		return nil
	}
	if len(l.leftOut) > 0 {
		r := l.leftOut[0]
		return &failure{cannot, fmt.Errorf("every output could come to a place that no test sound may come to, such as %s to %s; mute it and name it with --with %s", r.Output, r.Input, r.Input.Owner)}
	}
	return wrongUsage("no output is left to play")
}

func isRecording(arg string) bool { return strings.EqualFold(filepath.Ext(arg), ".wav") }
