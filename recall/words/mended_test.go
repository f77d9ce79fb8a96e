package words_test

import (
	"slices"
	"testing"

	"bayhand/model/name"
	"bayhand/model/studio"
	"bayhand/recall/words"
)

// Jacks that are mended stand in one sentence, by who tagged them.
func TestMended(t *testing.T) {
	s := &studio.Studio{Bays: []studio.Bay{{Name: "main", Label: "Main", Modes: slices.Repeat([]studio.Mode{studio.Isolated}, 8)}}}
	jack := func(n int) name.Point { return name.At("main", studio.Bottom, n) }
	for _, test := range []struct {
		jacks, inFile []name.Point
		want          []string
	}{
		{nil, nil, nil},
		{[]name.Point{jack(4)}, nil, []string{"When Main 4 bottom is mended: bayhand tag main/b4 --ok"}},
		{[]name.Point{jack(4)}, []name.Point{jack(4), jack(8)}, []string{"When Main 4 bottom is mended: take main/b4 out of faulty: in the studio's file"}},
		{[]name.Point{jack(4), jack(5), jack(6), jack(4)}, nil, []string{"When Main 4-6 bottom are mended, for each: bayhand tag main/b4 --ok"}},
		{[]name.Point{jack(1), jack(4), jack(5)}, []name.Point{jack(4), jack(5)}, []string{
			"When Main 1 bottom is mended: bayhand tag main/b1 --ok",
			"When Main 4-5 bottom are mended: take main/b4-5 out of faulty: in the studio's file",
		}},
	} {
		if said := words.In(s).Mended(test.jacks, test.inFile); !slices.Equal(said, test.want) {
			t.Errorf("%v: %q, want %q", test.jacks, said, test.want)
		}
	}
}
