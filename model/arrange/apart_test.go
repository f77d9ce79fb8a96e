package arrange

import (
	"context"
	"errors"
	"fmt"
	"testing"
)

// apartRoom has so many instrument outputs and line inputs, which share no column, and a bay of eight.
func apartRoom(t *testing.T, each int, waived ...Rule) Request {
	t.Helper()
	return Request{Moves: -1, Waived: waived, Studio: readStudio(t, fmt.Sprintf(`studio: Apart
gear:
  keys: {outputs: {out1-%[1]d: instrument}}
  desk: {inputs: {in1-%[1]d: pro-line}}
bays:
  main: {pairs: 8, modes: {1-8: isolated}}
`, each))}
}

// TestSparesGiveWay needs every column, so that none is left blank.
func TestSparesGiveWay(t *testing.T) {
	q := apartRoom(t, 4)
	a, err := Propose(context.Background(), q)
	if err != nil {
		t.Fatal(err)
	}
	isSound(t, q, a)
}

func TestTooFewColumnsSaysHowManyAndWhichRule(t *testing.T) {
	_, err := Propose(context.Background(), apartRoom(t, 5))
	want := "this cannot be arranged: it takes 10 columns, and 8 are free; add a bay, or let the rule kinds-apart go"
	if !errors.Is(err, ErrCannot) || err.Error() != want {
		t.Errorf("%v; it should be %s", err, want)
	}
	if _, err := Propose(context.Background(), apartRoom(t, 5, KindsApart)); err != nil {
		t.Errorf("without the rule: %v", err)
	}
}
