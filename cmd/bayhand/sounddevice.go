package main

import (
	"errors"
	"fmt"
	"path/filepath"
	"strings"

	"bayhand/drivers/sound"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/studio"
	"bayhand/recall/files"
	"bayhand/recall/listen"
	madeup "bayhand/simulators/sound"
)

// practiceLink begins the link of a sound device that is made up: the room in which
// the patch of a file is plugged. practice:FILE, as seen from the studio's file.
const practiceLink = "practice:"

// opener opens the sound device of a studio, while matrices are switched otherwise.
func (l *listening) opener(a *app, switched []plan.Change) listen.Opener {
	read := func(file string) (patch.Patch, error) { return a.files.named(l.studio, file) }
	return soundOpener(l.studio, l.plan.Device, a.files.library().Place(), switched, read)
}

// soundOpener opens a sound device of this machine, or a made-up one, in whose room
// the patch is plugged that read finds in a file, and matrices are switched otherwise.
func soundOpener(s *files.Studio, device studio.Gear, at files.Place, switched []plan.Change, read func(file string) (patch.Patch, error)) listen.Opener {
	return func(link string, f listen.Format) (listen.Device, error) {
		if file, is := strings.CutPrefix(link, practiceLink); is {
			plugged, err := read(filepath.Join(filepath.Dir(at.Studio), file))
			if err != nil {
				return nil, err
			}
			return practice(s.Studio, device.Sound, listen.Switched(plugged, switched), f)
		}
		return sound.Open(link, sound.Want{Rate: f.Rate, Outputs: f.Outputs, Inputs: f.Inputs})
	}
}

// practice is the made-up room in which a patch is plugged.
func practice(s *studio.Studio, d *studio.Sound, plugged patch.Patch, f listen.Format) (listen.Device, error) {
	r := &madeup.Room{Studio: s, States: []madeup.State{{Patch: plugged}},
		Device: madeup.Device{Noise: practiceNoise, Bits: 24, Late: f.Rate / 50}}
	for n := 1; n <= f.Outputs; n++ {
		r.Outputs = append(r.Outputs, portOf(d.Outputs, n))
	}
	for n := 1; n <= f.Inputs; n++ {
		r.Inputs = append(r.Inputs, portOf(d.Inputs, n))
	}
	p, err := r.Play()
	if err != nil {
		return nil, practiceFailure(err)
	}
	return practised{p}, nil
}

// practiceNoise is that of a usual converter, in dBFS rms.
const practiceNoise = -100

// practised is a made-up device, whose errors are those of real ones.
type practised struct{ *madeup.Player }

func (p practised) Exchange(played, heard []float32) error {
	return practiceFailure(p.Player.Exchange(played, heard))
}

func practiceFailure(err error) error {
	for made, real := range map[error]error{madeup.ErrBusy: sound.ErrBusy, madeup.ErrGone: sound.ErrGone,
		madeup.ErrLost: sound.ErrLost, madeup.ErrNoInput: sound.ErrNoInput} {
		if errors.Is(err, made) {
			return fmt.Errorf("%w (the made-up one)", real)
		}
	}
	return err
}

// portOf is the port of a channel; none where the channel is no port.
func portOf(ports []studio.SoundChannel, channel int) name.Point {
	for _, c := range ports {
		if c.Channel == channel {
			return c.Port
		}
	}
	return name.Point{}
}
