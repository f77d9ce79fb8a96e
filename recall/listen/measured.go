package listen

import (
	"context"
	"slices"
	"time"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/suspect"
	"bayhand/recall/keep"
)

// FreshFor is how old a recording may be to say what is plugged now.
const FreshFor = time.Hour

// Learnt is what the keeper has been told after listening: cords that are measured
// now, and cords that were and are only told again.
type Learnt struct {
	Measured, Doubted []patch.Cord
	// Faults are cords with numbers whose own fault is remembered.
	Faults []keep.KnownCord
}

// Tell tells the keeper which cords are measured now, and which were and are in doubt.
// Made is when the sound was recorded, now the present. A cord is measured only by a
// reading without any finding, of the patch that the room is known to be in, from a
// recording that is younger than the cord's place and than FreshFor. What was told stands
// in Learnt afterwards.
func (v *Answer) Tell(ctx context.Context, room keep.Room, made, now time.Time) error {
	if !v.Plan.OfRoom || v.Nothing || now.Sub(made) > FreshFor {
		return nil
	}
	status, err := room.Status(ctx)
	if err != nil {
		return err
	}
	if err := v.tellFaults(ctx, room, status); err != nil {
		return err
	}
	for _, c := range status.Known.Cords {
		var act keep.Deed
		switch {
		case v.AsItShould() && slices.ContainsFunc(v.Found.Sure, c.Same) && c.Since.Before(made):
			act, v.Learnt.Measured = keep.WasHeard, append(v.Learnt.Measured, c.Cord)
		case c.How == keep.Measured && v.doubts(c.Cord):
			act, v.Learnt.Doubted = keep.NotHeard, append(v.Learnt.Doubted, c.Cord)
		default:
			continue
		}
		if _, err := room.Act(ctx, keep.Act{Do: act, A: c.A, B: c.B}); err != nil {
			return err
		}
	}
	return nil
}

// tellFaults tells the keeper of faults that are a cord's own and that nothing else
// explains, of cords with numbers on them.
func (v *Answer) tellFaults(ctx context.Context, room keep.Room, status keep.Status) error {
	for _, f := range v.Found.Findings {
		if f.Guess || !f.OfCord() || slices.ContainsFunc(f.OrElse, func(m suspect.Mistake) bool { return !m.OfCord() }) {
			continue
		}
		for _, c := range status.Known.Cords {
			if c.Number == 0 || !f.Concerns(c.Cord) {
				continue
			}
			if _, err := room.Act(ctx, keep.Act{Do: keep.CordFailed, A: c.A, B: c.B, Fault: string(f.Code)}); err != nil {
				return err
			}
			v.Learnt.Faults = append(v.Learnt.Faults, c)
		}
	}
	return nil
}

// AsksNumber are the ends of a cord with a fault of its own that has no number yet, in a
// studio whose cords are numbered; what is found of it is remembered once it has.
func (v *Answer) AsksNumber(f suspect.Finding) (a, b name.Point, asks bool) {
	if v.Plan.Room.Studio().Stock.Numbers.First == 0 || !v.Plan.OfRoom || f.Guess || !f.OfCord() {
		return a, b, false
	}
	remembered := slices.ContainsFunc(v.Learnt.Faults, func(c keep.KnownCord) bool { return f.Concerns(c.Cord) })
	return f.At[0], f.At[1], !remembered
}

// ForEar are the cords of the room that were not seen and that no finding is about: they
// are to be followed by ear.
func (v *Answer) ForEar() []patch.Cord {
	if !v.Plan.OfRoom {
		return nil
	}
	return slices.DeleteFunc(slices.Clone(v.Found.Unseen), v.doubts)
}

// doubts says whether a finding, or what else it may be, is about a cord.
func (v *Answer) doubts(c patch.Cord) bool {
	for _, f := range v.Found.Findings {
		if f.Concerns(c) || slices.ContainsFunc(f.OrElse, func(m suspect.Mistake) bool { return m.Concerns(c) }) {
			return true
		}
	}
	return false
}
