package keep

import (
	"crypto/sha256"
	"encoding/hex"
	"slices"

	"bayhand/model/phrase"
	"bayhand/model/plan"
)

// A step is said to be done by its number. After another recall the number may be that of
// another step, while a screen that has not heard of it yet shows the one before: a mute
// would be taken for done that nobody made. So a screen says with the number what the step
// did that it showed.

// meansSize is how many bytes of the sum tell steps of the same number apart.
const meansSize = 6

// MeansOf is a word for what a step does, the same for steps that do the same: 12
// hexadecimal digits.
func MeansOf(s plan.Step) string {
	sum := sha256.Sum256([]byte(action(s)))
	return hex.EncodeToString(sum[:meansSize])
}

// meant refuses an act about a step that does something else than whoever asks was shown.
func (t *telling) meant(act Act) error {
	if act.Means == "" {
		return nil
	}
	other := func(s plan.Step) bool { return slices.Contains(act.IDs, s.ID) && MeansOf(s) != act.Means }
	in := t.m.Intent
	if slices.ContainsFunc(in.Left, other) || slices.ContainsFunc(in.Done, func(d DoneStep) bool { return other(d.Step) }) {
		return tell(ErrConflict, "%s", phrase.Put("step {step} is another one by now, since something else was recalled. Look at the steps again", "step", act.IDs[0]))
	}
	return nil
}
