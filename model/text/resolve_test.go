package text_test

import (
	"strings"
	"testing"

	"bayhand/model/studio"
	"bayhand/model/text"
)

func TestResolve(t *testing.T) {
	two := readStudio(t, "testdata/ok/boathouse/studio.yaml")
	one := readStudio(t, "testdata/ok/one-bay/studio.yaml")
	one.Bays[0].Rows = [2]string{"a", "c"}
	modes := func(n int) []studio.Mode { return make([]studio.Mode, n) }
	panel := &studio.Studio{Bays: []studio.Bay{{Name: "main", Modes: modes(24), Rows: [2]string{"a", "b"}}, {Name: "far", Modes: modes(32)}}}
	for _, test := range []struct {
		room       *studio.Studio
		text, want string
	}{
		{two, "main/t3", "main/t3"},
		{two, "main/b7", "main/b7"},
		{two, "main/a7", "main/t7"},
		{two, "interface/out7", "interface/out7"},
		{two, "desk/ins1.send", "desk/ins1.send"},
		{two, "grid/in3", "grid/in3"},
		{one, "t3", "bay0/t3"},
		{one, "b26", "bay0/b26"},
		{one, "c26", "bay0/b26"},
		{one, "bay0/a1", "bay0/t1"},
		{panel, "a7", "main/t7"}, // only main has rows that are called so
		{panel, "main/b7", "main/b7"},
	} {
		if got, err := text.Resolve(test.room, test.text); err != nil || got.String() != test.want {
			t.Errorf("%s is %s (%v), want %s", test.text, got, err, test.want)
		}
	}
}

func TestResolveSaysWhatThereIs(t *testing.T) {
	two := readStudio(t, "testdata/ok/boathouse/studio.yaml")
	one := readStudio(t, "testdata/ok/one-bay/studio.yaml")
	for _, test := range []struct {
		room       *studio.Studio
		text, want string
	}{
		{two, "mian/t3", "did you mean main?"},
		{two, "main/t49", "its jacks are t1-48 and b1-48"},
		{two, "main/3", "write main/t3 or main/b3"},
		{two, "main", "write main/t1 or main/b1"},
		{two, "alt1", "nothing in the studio is called alt1; ports are named with their gear; write bus/alt1"},
		{two, "interface/out7", "a jack of a bay is wanted, such as main/t1"},
		{two, "grid/in99", "it has in1-16 and out1-16"},
		{two, "t3", "t3 is a jack of several bays; write main/t3 or far/t3"},
		{two, "t30", "nothing in the studio is called t30"},
		{two, "desk/ins1", "write desk/ins1.send or desk/ins1.return"},
		{one, "t99", "its jacks are t1-26 and b1-26"},
		{one, "t1-2", "t1-2"},
		{one, "T3", "lower case"},
		{one, "", "a name is missing"},
	} {
		p, err := text.ResolveJack(test.room, test.text)
		if err == nil || !strings.Contains(err.Error(), test.want) || !p.IsZero() {
			t.Errorf("%s is %v (%v), want an error with %q", test.text, p, err, test.want)
		}
	}
}
