package words

import (
	"testing"

	"bayhand/recall/keep"
)

// A batch says by step what it took and what it did not, with what comes before.
func TestBatchSaysWhatItTook(t *testing.T) {
	w := room(t)
	later := []keep.Later{{ID: "8", After: []keep.Before{{ID: "7", By: "grid"}}}, {ID: "9", After: []keep.Before{{ID: "8"}}}}
	for _, c := range []struct {
		answer keep.Answer
		want   string
	}{
		{keep.Answer{Took: []string{"1", "2"}}, ""},
		{keep.Answer{Took: []string{"1", "2", "3"}, Waits: later}, "Steps 1, 2 and 3 saved. Step 8 not saved: it comes after step 7, which the grid switches. Step 9 not saved: it comes after step 8."},
		{keep.Answer{Took: []string{"1"}, Waits: later[1:]}, "Step 1 saved. Step 9 not saved: it comes after step 8."},
		{keep.Answer{Waits: later[:1], Unfinished: []keep.Unfinished{{Code: keep.Code(keep.ErrNoAnswer), Matrix: "grid"}}},
			"No step was saved. Step 8 not saved: it comes after step 7, which the grid switches. No answer from the grid."},
	} {
		if got := w.Taken(c.answer); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
