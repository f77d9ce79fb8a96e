package listen

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"bayhand/drivers/sound"
	"bayhand/model/name"
	"bayhand/model/reading"
	"bayhand/model/tones"
	"bayhand/recall/words"
)

// Way is how a plan is played.
type Way struct {
	// First and Then are the levels of the two passes in dBFS rms; 0 for those of the
	// studio's file, or the usual ones.
	First, Then float64
	// Quiet plays the first pass alone.
	Quiet bool
	// Groups is in how many parts the outputs play, one after the other; 0 and 1 for
	// all at once. Fewer outputs at once are read down to lower frequencies.
	Groups int
	// OneAtATime plays a sweep on each output, one after the other, instead of the tones
	// of all at once: it names what comes retuned, and takes 2.5 s an output.
	OneAtATime bool
	// MutesHold says whether what a matrix mutes is still read back as muted; it is
	// asked before each part of a pass, and what it says ends the measurement. It may be
	// nil where nothing is muted by a matrix.
	MutesHold func() error
	// Progress is called several times a second, by the goroutine that plays: it may
	// not wait. It may be nil.
	Progress func(Progress)
}

// Progress is how far a measurement is.
type Progress struct {
	// Pass counts from 1.
	Pass int
	// Part counts the parts of the pass from 1, Parts are how many there are.
	Part, Parts int
	// Level is that of the pass, in dBFS rms.
	Level float64
	// Done and Seconds are how much of the pass was played, and its length.
	Done, Seconds float64
	// Reading says that the pass was played and is being read.
	Reading bool
	// Loudest is the highest level of an input now, in dBFS.
	Loudest float64
}

// Halted is a measurement that was stopped for safety.
type Halted struct {
	Reason tones.Reason
	// Input is the one that was the reason; zero where it was none.
	Input name.Point
}

func (h *Halted) Error() string {
	if h.Input.IsZero() {
		return words.Put("the sound was stopped: {reason}", "reason", string(h.Reason))
	}
	return fmt.Sprintf("the sound was stopped: %s (%s)", h.Reason, h.Input)
}

// mostLost is how often a pass is begun anew after samples were lost.
const mostLost = 3

// Measure plays the test sound by the device of the plan, reads what comes back, and
// compares it with what should be heard. The first pass is quiet; the second, louder
// one follows only where the first shows that it may, else Answer.Quieter says why
// not.
//
// The context stops the sound at once: ErrStopped. A Halted is a stop for safety in
// the first pass; in the second it is told in the answer. Other errors are those of
// the device, which are in package drivers/sound: samples lost three times is
// ErrLost. ErrNothingPlays is a plan without outputs.
func (l *Plan) Measure(ctx context.Context, open Opener, w Way) (*Answer, error) {
	if err := l.NeedDriven(); err != nil {
		return nil, err
	}
	m := &measuring{plan: l, open: open, way: l.levels(w)}
	for _, level := range []float64{m.way.First, m.way.Then} {
		if err := tones.CheckLevel(level); err != nil {
			return nil, wrong("%w", err)
		}
	}
	first, loudest, err := m.pass(ctx, 1, m.way.First, m.bounds(m.way.First, nil))
	if err != nil || m.way.Quiet {
		return first, err
	}
	if err := first.mayGrow(loudest, m.way, w.Then != 0); err != nil {
		first.Quieter = err.Error()
		return first, nil
	}
	second, _, err := m.pass(ctx, 2, m.way.Then, m.bounds(m.way.Then, first))
	var halted *Halted
	if errors.As(err, &halted) {
		first.Quieter, first.Halted = err.Error(), halted
		return first, nil
	}
	if err != nil {
		return nil, err
	}
	second.Seconds += first.Seconds
	return second, nil
}

// levels fills in the levels that a way does not say.
func (l *Plan) levels(w Way) Way {
	usual := l.Room.Studio().Verify
	pick := func(levels ...float64) float64 {
		return levels[slices.IndexFunc(levels, func(v float64) bool { return v != 0 })]
	}
	w.First, w.Then = pick(w.First, usual.First, tones.FirstLevel), pick(w.Then, usual.Then, tones.SecondLevel)
	return w
}

// mayGrow says whether a louder pass may follow, and why not. The outputs that may play
// were found with the told patch. Two cords that nobody told can lead one of them to a
// loudspeaker, which no input hears. So while anything that must not get the sound is not
// muted, no louder pass follows, unless somebody asked for its level and the room is as
// it was told.
func (v *Answer) mayGrow(loudest float64, w Way, asked bool) error {
	first := tones.First{Loudest: loudest}
	for i, in := range v.Reading.Inputs {
		first.Remains = first.Remains || in.Remains
		guarded := slices.Contains(v.Plan.Guarded, v.Scene.Inputs[i])
		first.Excluded = first.Excluded || guarded && slices.ContainsFunc(v.Paths[i], func(p reading.Path) bool { return p.Found })
	}
	if err := first.Louder(w.Then); err != nil {
		return err
	}
	switch {
	case len(v.Plan.Guarded) == 0:
		return nil
	case !asked:
		return fmt.Errorf("%s may hear it, by cords that nobody reported; the quiet pass finds every cord", v.Plan.Guarded[0].Owner)
	case !v.AsItShould():
		return errors.New("the room is not as reported, so that nobody knows what a louder sound would come to")
	}
	return nil
}

// measuring is a measurement as it goes.
type measuring struct {
	plan *Plan
	open Opener
	way  Way
}

// Margins of what the test sound alone explains, in dB.
const (
	boundMargin = 3
	leastBound  = -45.0 // dBFS; what is quieter is no danger
)

// bounds are the levels that inputs may have by the test sound alone: all outputs on
// one bus, and not more than the first pass explains.
func (m *measuring) bounds(level float64, first *Answer) []float64 {
	all := level + 10*math.Log10(float64(len(m.plan.Driven))) + boundMargin
	bounds := slices.Repeat([]float64{all}, len(m.plan.Inputs()))
	if first != nil {
		for i, in := range first.Reading.Inputs {
			bounds[i] = min(all, max(leastBound, in.Level+level-first.Level+2*boundMargin))
		}
	}
	return bounds
}

// pass plays one pass, part after part, and reads it.
func (m *measuring) pass(ctx context.Context, number int, level float64, bounds []float64) (a *Answer, loudest float64, err error) {
	groups, err := m.plan.groups(m.way.Groups)
	if err != nil {
		return nil, 0, err
	}
	var parts []part
	loudest = math.Inf(-1)
	for n, group := range groups {
		about := Progress{Pass: number, Part: n + 1, Parts: len(groups), Level: level}
		one, heard, err := m.part(ctx, group, level, bounds, about)
		if err != nil {
			return nil, 0, err
		}
		parts, loudest = append(parts, one), max(loudest, heard)
	}
	return m.plan.judge(parts, m.plan.Inputs(), level), loudest, nil
}

// part plays a part and reads it; heard is the highest level of an input.
func (m *measuring) part(ctx context.Context, group *Plan, level float64, bounds []float64, about Progress) (one part, heard float64, err error) {
	if m.way.OneAtATime {
		return m.sweeps(ctx, level, bounds, about)
	}
	p, err := m.play(ctx, group, group.Comb.Sound(level, group.Channels()), bounds, about)
	if err != nil {
		return one, 0, err
	}
	one, err = group.part(ctx, reading.Recording{Rate: m.plan.Rate(), Channels: p.recorded}, m.plan.Inputs(), level)
	return one, p.loudest, err
}

// play plays a sound, anew where samples were lost.
func (m *measuring) play(ctx context.Context, group *Plan, s *tones.Sound, bounds []float64, about Progress) (*playing, error) {
	about.Seconds = float64(s.Timing.Length) / float64(m.plan.Rate())
	for try := 1; ; try++ {
		if m.way.MutesHold != nil {
			if err := m.way.MutesHold(); err != nil {
				return nil, err
			}
		}
		p := newPlaying(group, s, bounds)
		p.tell = func(at int, loudest float64) {
			about.Done, about.Loudest = p.seconds(at), loudest
			m.tell(about)
		}
		err := p.by(ctx, m.open)
		if err == nil {
			about.Done, about.Reading = about.Seconds, true
			m.tell(about)
			return p, nil
		}
		if !errors.Is(err, sound.ErrLost) || try == mostLost {
			return nil, err
		}
	}
}

func (m *measuring) tell(p Progress) {
	if m.way.Progress != nil {
		m.way.Progress(p)
	}
}
