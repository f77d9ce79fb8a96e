package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"sync"

	"bayhand/drivers/sound"
	"bayhand/model/name"
	"bayhand/model/reading"
	"bayhand/recall/files"
)

// soundBits is the depth of test sound that is written.
const soundBits = 24

// channels is the share of each channel of the device; negative where it is
// silent.
func (l *listening) channels() []int {
	outs := l.device.Sound.Outputs
	played := slices.Repeat([]int{-1}, outs[len(outs)-1].Channel)
	for _, i := range l.driven {
		played[outs[i].Channel-1] = i
	}
	return played
}

// write writes the test sound, after what must be said before any sound.
func (l *listening) write(out *output, v verifying) error {
	if err := l.needDriven(); err != nil {
		return err
	}
	l.warn(out)
	played := l.channels()
	var made []string
	if v.write != "" {
		if err := l.writeChannels(v.write, v.level, played); err != nil {
			return err
		}
		made = append(made, v.write)
	}
	if v.mono != "" {
		if err := os.MkdirAll(v.mono, 0o755); err != nil {
			return err
		}
		for ch, share := range played {
			if share < 0 {
				continue
			}
			file := filepath.Join(v.mono, fmt.Sprintf("channel-%03d.wav", ch+1))
			if err := l.writeChannels(file, v.level, []int{share}); err != nil {
				return err
			}
			made = append(made, file)
		}
	}
	seconds := float64(l.comb.Timing().Length) / float64(l.comb.Rate)
	return out.say(map[string]any{"files": made, "seconds": seconds, "rate": l.comb.Rate, "level": v.level, "outputs": l.outputs(l.driven)},
		"%s: %d outputs of %s, %.1f s at %g dBFS; play it while all inputs are recorded, then: bayhand verify --read RECORDING",
		made[0], len(l.driven), l.device.Name, seconds, v.level)
}

// writeChannels writes one file whole, or none.
func (l *listening) writeChannels(file string, level float64, played []int) error {
	test := l.comb.Sound(level, played)
	format := sound.Format{Rate: l.comb.Rate, Channels: len(played), Bits: soundBits}
	var b bytes.Buffer
	w, err := sound.NewWriter(&b, format, int64(test.Timing.Length))
	if err != nil {
		return err
	}
	const piece = 4096
	frames := make([]float32, piece*len(played))
	for at := 0; at < test.Timing.Length; at += piece {
		part := frames[:min(piece, test.Timing.Length-at)*len(played)]
		test.Fill(part, at)
		if err := w.Write(part); err != nil {
			return err
		}
	}
	if err := w.Close(); err != nil {
		return err
	}
	return write(file, b.Bytes())
}

// recorded reads recordings and says which input each channel is.
func (l *listening) recorded(recordings []string, from string) (reading.Recording, []name.Point, error) {
	r := reading.Recording{Rate: l.comb.Rate}
	inputs, err := l.inputsFrom(from)
	if err != nil {
		return r, nil, err
	}
	var heard []name.Point
	for _, file := range recordings {
		w, err := readWave(file)
		if err != nil {
			return r, nil, err
		}
		if w.Format.Rate != l.comb.Rate {
			return r, nil, wrongUsage("%s has %d samples a second; the test sound of %s has %d (the key rate of its sound)", file, w.Format.Rate, l.device.Name, l.comb.Rate)
		}
		if len(recordings) > 1 && len(w.Channels) != 1 {
			return r, nil, wrongUsage("%s has %d channels; several files are mono ones, in the order of inputs", file, len(w.Channels))
		}
		for _, samples := range w.Channels {
			// A device has channels that are no port of the studio.
			if len(inputs) == 0 {
				return r, nil, wrongUsage("%s has more channels than %s has inputs", file, l.device.Name)
			}
			if !inputs[0].IsZero() {
				r.Channels, heard = append(r.Channels, samples), append(heard, inputs[0])
			}
			inputs = inputs[1:]
		}
	}
	shortest := slices.MinFunc(r.Channels, func(a, b []float32) int { return len(a) - len(b) })
	for i := range r.Channels {
		r.Channels[i] = r.Channels[i][:len(shortest)]
	}
	return r, heard, nil
}

// inputsFrom are the inputs by the device's channels, with none where a channel is
// no port, from a named one on.
func (l *listening) inputsFrom(from string) ([]name.Point, error) {
	ins := l.device.Sound.Inputs
	inputs := make([]name.Point, ins[len(ins)-1].Channel)
	for _, ch := range ins {
		inputs[ch.Channel-1] = ch.Port
	}
	if from == "" {
		return inputs, nil
	}
	first, err := l.ports(from, "from")
	if err != nil {
		return nil, err
	}
	at := slices.Index(inputs, first[0])
	if at < 0 {
		return nil, wrongUsage("--from: %s is no input of %s that is recorded", first[0], l.device.Name)
	}
	return inputs[at:], nil
}

func readWave(file string) (*sound.Wave, error) {
	f, err := os.Open(file)
	if err != nil {
		return nil, wrongUsage("%s cannot be read: %w", file, files.Bare(err))
	}
	defer f.Close()
	w, err := sound.Read(f)
	if err != nil {
		return nil, wrongUsage("%s: %w", file, err)
	}
	return w, nil
}

// listen reads a recording, several inputs beside each other.
func (l *listening) listen(ctx context.Context, r reading.Recording, level float64) (*reading.Reading, error) {
	ear := reading.NewEar(l.comb, level)
	if err := ear.Check(r); err != nil {
		return nil, wrongUsage("the recording: %w", err)
	}
	fitting := ear.Fit(r)
	made := &reading.Reading{Rate: r.Rate, Clock: fitting.Clock,
		Paths: make([][]reading.Path, len(r.Channels)), Inputs: make([]reading.Input, len(r.Channels))}
	next := make(chan int)
	var workers sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(r.Channels)) {
		workers.Go(func() {
			ear := reading.NewEar(l.comb, level)
			for i := range next {
				made.Paths[i], made.Inputs[i] = ear.Listen(r.Channels[i], fitting)
			}
		})
	}
	for i := range r.Channels {
		if ctx.Err() != nil {
			break
		}
		next <- i
	}
	close(next)
	workers.Wait()
	if ctx.Err() != nil {
		return nil, errors.New("stopped before the recording was read")
	}
	return made, nil
}
