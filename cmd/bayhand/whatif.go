package main

import (
	"bayhand/model/effect"
	"bayhand/model/hand"
	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/session"
)

// dummyWord asks for a plug without a cord.
const dummyWord = "dummy"

// whatIf is what one more plug would do.
type whatIf struct {
	Do string `json:"do"` // plug, plug-lead or plug-dummy
	// Ends are where it would be plugged.
	Ends []name.Point `json:"ends"`
	effect.Effect

	after *heard.State
	patch patch.Patch
}

// whatIf plugs one thing more, on paper.
func newWhatIf(room *heard.Room, of *session.Session, now patch.Patch, at name.Point, other string) (*whatIf, error) {
	w, then, err := plugged(room, now, at, other)
	if err != nil {
		return nil, err
	}
	w.patch = then
	w.Effect, w.after = effect.Of(room, of, now, then)
	return w, nil
}

// plugged is a patch with one thing more in it: a dummy, a lead from a port, or a
// cord between two jacks.
func plugged(room *heard.Room, now patch.Patch, at name.Point, other string) (*whatIf, patch.Patch, error) {
	var to name.Point
	if other != dummyWord {
		var err error
		if to, err = pointIn(room.Studio(), other); err != nil {
			return nil, now, err
		}
	}
	moves, err := hand.Bay{Studio: room.Studio(), Patch: now}.Plug(at, to)
	if err != nil {
		return nil, now, wrongUsage("%w", err)
	}
	return &whatIf{Do: string(moves[0].Do), Ends: moves[0].Ends}, hand.Apply(now, moves...), nil
}

func thing(do string) string {
	switch do {
	case "plug-dummy":
		return "dummy"
	case "plug-lead":
		return "gear cable"
	}
	return "cord"
}
