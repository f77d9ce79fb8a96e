package main

import (
	"context"
	"math"
	"slices"

	"bayhand/model/name"
	"bayhand/model/reading"
	"bayhand/model/suspect"
)

// read reads recordings, compares, and says what is otherwise.
func (l *listening) read(ctx context.Context, a *app, recordings []string, v verifying) error {
	r, inputs, err := l.recorded(recordings, v.from)
	if err != nil {
		return err
	}
	whole, err := l.listen(ctx, r, v.level)
	if err != nil {
		return err
	}
	scene := l.scene(inputs)
	paths := l.played(whole)
	shift := levelShift(scene, paths)
	for i := range paths {
		for o := range paths[i] {
			paths[i][o].Level -= shift
		}
	}
	picture := scene.Judge(paths)
	answer := &verified{listening: l, scene: scene, reading: whole, paths: paths, picture: picture, shift: shift, whole: v.whole,
		seconds: float64(len(r.Channels[0])) / float64(r.Rate), found: scene.Explain(picture)}
	answer.nothing = nothingHeard(paths)
	answer.stray = l.strays(whole, inputs)
	if v.keep {
		if err := l.keep(answer); err != nil {
			return err
		}
	}
	if answer.learnt, err = answer.tell(ctx, a, recordings); err != nil {
		return err
	}
	if err := answer.say(a.out); err != nil {
		return err
	}
	if !answer.asItShould() {
		return silent(cannot)
	}
	return nil
}

// played are the paths of the outputs that play, of each input.
func (l *listening) played(r *reading.Reading) [][]reading.Path {
	paths := make([][]reading.Path, len(r.Paths))
	for i, all := range r.Paths {
		for _, o := range l.driven {
			paths[i] = append(paths[i], all[o])
		}
	}
	return paths
}

// stray is an output that is heard although it was not to play.
type stray struct{ output, input name.Point }

// strays are those: the recording was made with other outputs than are said now,
// or the channels are not in the order that the studio has.
func (l *listening) strays(r *reading.Reading, inputs []name.Point) []stray {
	var found []stray
	for i, all := range r.Paths {
		for o, p := range all {
			if p.Found && !slices.Contains(l.driven, o) {
				found = append(found, stray{l.device.Sound.Outputs[o].Port, inputs[i]})
			}
		}
	}
	return found
}

// Limits of a shift of all levels, in dB: at least so many paths must agree so
// closely; a smaller shift is left where it is.
const (
	shiftPaths  = 3
	shiftSpread = 1.0
	shiftLeast  = 1.0
)

// levelShift is by how much all levels are off together: whoever played or
// recorded did it at another level than the file has. It is taken off, and told.
func levelShift(c *suspect.Scene, paths [][]reading.Path) float64 {
	var off []float64
	for i := range paths {
		for o, p := range paths[i] {
			if e := c.Expected(o, i); p.Found && e.Judged {
				off = append(off, p.Level-e.Level)
			}
		}
	}
	if len(off) < shiftPaths {
		return 0
	}
	slices.Sort(off)
	middle := off[len(off)/2]
	near := 0
	for _, v := range off {
		if math.Abs(v-middle) < shiftSpread {
			near++
		}
	}
	if math.Abs(middle) < shiftLeast || near < shiftPaths || near*2 <= len(off) {
		return 0
	}
	return middle
}

func nothingHeard(paths [][]reading.Path) bool {
	for i := range paths {
		if slices.ContainsFunc(paths[i], func(p reading.Path) bool { return p.Found }) {
			return false
		}
	}
	return true
}
