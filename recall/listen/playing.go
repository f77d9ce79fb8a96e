package listen

import (
	"context"
	"errors"
	"math"

	"bayhand/drivers/sound"
	"bayhand/model/tones"
)

// playing is one pass as it is played, in blocks of 10 ms.
type playing struct {
	plan  *Plan
	sound *tones.Sound
	guard tones.Guard
	// frames are one block each way, played and heard, channel after channel.
	played, heard []float32
	block         int // frames
	// recorded are the samples of each of the plan's inputs.
	recorded [][]float32
	loudest  float64
	tell     func(at int, loudest float64)
}

// newPlaying is a pass of a sound; bounds are those of the guard.
func newPlaying(l *Plan, s *tones.Sound, bounds []float64) *playing {
	f := l.Format()
	p := &playing{plan: l, sound: s, block: f.Rate / 100, loudest: math.Inf(-1)}
	p.guard.Bounds = bounds
	p.played, p.heard = make([]float32, p.block*f.Outputs), make([]float32, p.block*f.Inputs)
	p.recorded = make([][]float32, len(l.Device.Sound.Inputs))
	return p
}

func (p *playing) seconds(at int) float64 { return float64(at) / float64(p.plan.Rate()) }

// by plays the pass by a device that it opens and closes.
func (p *playing) by(ctx context.Context, open Opener) (err error) {
	device, err := open(p.plan.Device.Sound.Link, p.plan.Format())
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, device.Close()) }()
	for at := 0; at < p.sound.Timing.Length; at += p.block {
		if err := p.step(ctx, device, at); err != nil {
			return errors.Join(err, device.Stop())
		}
	}
	return device.Stop()
}

// step plays and hears one block, and says why the sound must stop.
func (p *playing) step(ctx context.Context, device Device, at int) error {
	p.sound.Fill(p.played, at)
	err := device.Exchange(p.played, p.heard)
	if err != nil && !errors.Is(err, sound.ErrLost) && !errors.Is(err, sound.ErrNoInput) {
		return err
	}
	block := p.measure(at)
	block.Asked, block.Broken = ctx.Err() != nil, errors.Is(err, sound.ErrLost)
	if errors.Is(err, sound.ErrNoInput) {
		block.Quiet = tones.QuietFor
	}
	switch reason := p.guard.Next(block); reason {
	case tones.GoesOn:
		return nil
	case tones.Asked:
		return ErrStopped
	case tones.LostSamples, tones.NoInput:
		return err
	default:
		halted := &Halted{Reason: reason}
		if i := p.guard.Input(); i >= 0 {
			halted.Input = p.plan.Device.Sound.Inputs[i].Port
		}
		return halted
	}
}

// lag is how much later than it was played a block may be heard through metal, in
// seconds.
const lag = 0.2

// measure takes in what was heard of a block.
func (p *playing) measure(at int) tones.Block {
	channels := len(p.heard) / p.block
	var inputs [][]float32
	for i, ch := range p.plan.Device.Sound.Inputs {
		for n := range p.block {
			p.recorded[i] = append(p.recorded[i], p.heard[n*channels+ch.Channel-1])
		}
		inputs = append(inputs, p.recorded[i][at:])
	}
	t := p.sound.Timing
	late := int(lag * float64(p.plan.Rate()))
	block := tones.Measure(inputs, at >= t.Begin+t.Rise+late && at+p.block <= t.End)
	loudest := math.Inf(-1)
	for _, level := range block.Levels {
		loudest = max(loudest, level)
	}
	p.loudest = max(p.loudest, loudest)
	if p.tell != nil && at/p.block%20 == 0 {
		p.tell(at, loudest)
	}
	return block
}
