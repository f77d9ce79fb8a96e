package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"syscall"
	"time"

	"bayhand/drivers/sound"
	"bayhand/model/name"
	"bayhand/model/reading"
	"bayhand/recall/files"
	"bayhand/recall/listen"
)

// soundBits is the depth of test sound that is written.
const soundBits = 24

// write writes the test sound, after what must be said before any sound.
func (l *listening) write(out *output, v verifying) error {
	if err := l.needDriven(); err != nil {
		return err
	}
	l.warn(out)
	played := l.plan.Channels()
	var made []string
	if v.write != "" {
		if err := l.writeChannels(v.write, v.fileLevel(), played); err != nil {
			return err
		}
		made = append(made, v.write)
	}
	if v.mono != "" {
		if err := os.MkdirAll(v.mono, 0o755); err != nil {
			return notWritten(v.mono, err)
		}
		for ch, share := range played {
			if share < 0 {
				continue
			}
			file := filepath.Join(v.mono, fmt.Sprintf("channel-%03d.wav", ch+1))
			if err := l.writeChannels(file, v.fileLevel(), []int{share}); err != nil {
				return err
			}
			made = append(made, file)
		}
	}
	seconds := l.plan.Seconds()
	return out.say(map[string]any{"files": made, "seconds": seconds, "rate": l.plan.Comb.Rate, "level": v.fileLevel(), "outputs": l.plan.Outputs(l.plan.Driven)},
		"%s: %d outputs of %s, %.1f s at %g dBFS; play it while all inputs are recorded, then: bayhand verify --read RECORDING",
		made[0], len(l.plan.Driven), l.plan.Device.Name, seconds, v.fileLevel())
}

// writeChannels writes one file whole, or none.
func (l *listening) writeChannels(file string, level float64, played []int) error {
	test := l.plan.Comb.Sound(level, played)
	format := sound.Format{Rate: l.plan.Comb.Rate, Channels: len(played), Bits: soundBits}
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
	r := reading.Recording{Rate: l.plan.Comb.Rate}
	inputs, err := l.inputsFrom(from)
	if err != nil {
		return r, nil, err
	}
	var heard []name.Point
	offered := 0
	for _, file := range recordings {
		w, err := readWave(file)
		if err != nil {
			return r, nil, err
		}
		if w.Format.Rate != l.plan.Comb.Rate {
			return r, nil, wrongUsage("%s has %d samples a second; the test sound of %s has %d (the key rate of its sound)", file, w.Format.Rate, l.plan.Device.Name, l.plan.Comb.Rate)
		}
		if len(recordings) > 1 && len(w.Channels) != 1 {
			return r, nil, wrongUsage("%s has %d channels; several files are mono ones, in the order of inputs", file, len(w.Channels))
		}
		offered += len(w.Channels)
		for _, samples := range w.Channels {
			// A device has channels that are no port of the studio.
			if len(inputs) == 0 {
				return r, nil, wrongUsage("%s has more channels than %s has inputs", file, l.plan.Device.Name)
			}
			if !inputs[0].IsZero() {
				r.Channels, heard = append(r.Channels, samples), append(heard, inputs[0])
			}
			inputs = inputs[1:]
		}
	}
	if len(heard) == 0 {
		return r, nil, wrongUsage("nothing was recorded of an input of %s: its first is channel %d of the device, and %s has %d channels (the key inputs of its sound)",
			l.plan.Device.Name, l.plan.Device.Sound.Inputs[0].Channel, recordings[0], offered)
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
	ins := l.plan.Device.Sound.Inputs
	inputs := make([]name.Point, ins[len(ins)-1].Channel)
	for _, ch := range ins {
		inputs[ch.Channel-1] = ch.Port
	}
	if from == "" {
		return inputs, nil
	}
	first, err := l.plan.Ports(from, "from")
	if err != nil {
		return nil, listenFailure(err)
	}
	at := slices.Index(inputs, first[0])
	if at < 0 {
		return nil, wrongUsage("--from: %s is no input of %s that is recorded", first[0], l.plan.Device.Name)
	}
	return inputs[at:], nil
}

func readWave(file string) (*sound.Wave, error) {
	f, err := os.Open(file)
	if err == nil {
		if info, looked := f.Stat(); looked == nil && info.IsDir() {
			_ = f.Close()
			err = &fs.PathError{Op: "read", Path: file, Err: syscall.EISDIR}
		}
	}
	if err != nil {
		return nil, wrongUsage("%w", &files.Unread{What: "the recording", File: file, Err: err, Hint: "give a WAV file"})
	}
	defer f.Close()
	w, err := sound.Read(f)
	if err != nil {
		return nil, wrongUsage("%s: %w", file, err)
	}
	return w, nil
}

// compare reads recordings, compares, and says what is otherwise.
func (l *listening) compare(ctx context.Context, a *app, recordings []string, v verifying) error {
	r, inputs, err := l.recorded(recordings, v.from)
	if err != nil {
		return err
	}
	answer, err := l.plan.Judge(ctx, r, inputs, v.fileLevel())
	if err != nil {
		return listenFailure(err)
	}
	made, err := oldest(recordings)
	if err != nil {
		return err
	}
	return l.conclude(ctx, a, answer, made, v)
}

// keep writes the reading as the session's reference.
func (l *listening) keep(found *listen.Answer) error {
	if l.file == "" {
		return wrongUsage("--keep needs a session: the reading is kept beside its file")
	}
	err := found.Keep(l.file, today())
	switch {
	case errors.Is(err, listen.ErrNotKept):
		return &failure{cannot, err}
	case err != nil:
		return &files.Unwritten{File: l.file, Err: err}
	}
	return nil
}

// oldest is when the first of some files was written last.
func oldest(names []string) (time.Time, error) {
	var first time.Time
	for i, n := range names {
		info, err := os.Stat(n)
		if err != nil {
			return first, wrongUsage("%w", &files.Unread{What: "the recording", File: n, Err: err})
		}
		if at := info.ModTime(); i == 0 || at.Before(first) {
			first = at
		}
	}
	return first, nil
}
