package words

import (
	"testing"

	"bayhand/recall/keep"
)

// A line that a session takes to an input is not heard there until both rooms are ready.
func TestLineOf(t *testing.T) {
	end := func(room, session string, uses bool, p keep.Phase) LineEnd { return LineEnd{room, session, uses, p} }
	for _, c := range []struct {
		from, to LineEnd
		want     string
	}{
		{end("mix", "", false, keep.Idle), end("live", "", false, keep.Idle), "talk from mix to live: not in use"},
		{end("mix", "give", true, keep.Given), end("live", "", false, keep.Idle), "talk from mix to live: mix waits for live"},
		{end("mix", "", false, keep.Idle), end("live", "take", true, keep.Given), "talk from mix to live: live waits for mix; not heard in live"},
		{end("mix", "give", true, keep.Waiting), end("live", "take", true, keep.Waiting), "talk from mix to live: steps left at both ends; not heard in live"},
		{end("mix", "give", true, keep.Given), end("live", "take", true, keep.Given), "talk from mix to live: ready at both ends"},
	} {
		if got := LineOf("talk", c.from, c.to); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
