package plan_test

import (
	"testing"

	"bayhand/model/plan"
)

func TestFoldWants(t *testing.T) {
	for _, c := range []struct {
		texts []string
		want  string
	}{
		{[]string{"a/out1 -> b/in1", "a/out2 -> b/in2", "a/out3 -> b/in3"}, "a/out1-3 -> b/in1-3"},
		{[]string{"a/out1 -> b/in1", "a/out1 -> c/in7", "a/out2 -> b/in2"}, "a/out1 -> [b/in1, c/in7], a/out2 -> b/in2"},
		{[]string{"silence at b/in1", "a/out1 -> b/in4", "silence at b/in2"}, "a/out1 -> b/in4, silence at b/in1-2"},
		{[]string{"silence at b/in8", "silence at b/in7"}, "silence at b/in7-8"},
		{[]string{"what is no want"}, "what is no want"},
	} {
		if got := plan.FoldWants(c.texts); got != c.want {
			t.Errorf("%q is %q, want %q", c.texts, got, c.want)
		}
	}
}

// What is of one line and has one reason is one; what would do for several, and who has it,
// is said at the last of them.
func TestMerged(t *testing.T) {
	const (
		beside = "it is not possible together with a/out9 -> b/in9: together they take 2 ties, and there is 1"
		tied   = "would be possible with 1 more tie, and 1 more mult"
		used   = "3 cords are in use by monday (room live)"
	)
	both := []plan.Addition{{What: plan.AddedTie, Count: 1, And: []plan.Addition{{What: plan.AddedMult, Count: 1}}}}
	other := []plan.Addition{{What: plan.AddedDummy, Count: 1}}
	inUse := []plan.InUse{{Session: "monday", Rooms: []string{"live"}, Cords: 3}}
	missing := func(want, because string, enough []plan.Addition, use []plan.InUse) plan.Missing {
		return plan.Missing{Want: want, Because: because, Enough: enough, InUse: use, Key: "connect[0]"}
	}
	of := func(key, want, because string) plan.Missing {
		return plan.Missing{Want: want, Because: because, Key: key}
	}
	for _, c := range []struct {
		name    string
		missing []plan.Missing
		want    [][2]string
	}{
		{"two of one line", []plan.Missing{missing("a/out1 -> b/in1", beside, nil, nil), missing("a/out2 -> b/in2", beside, nil, nil)},
			[][2]string{{"a/out1-2 -> b/in1-2", "neither is possible together with a/out9 -> b/in9: together with either they take 2 ties, and there is 1"}}},
		{"three of one line", []plan.Missing{missing("a/out1 -> b/in1", beside, nil, nil), missing("a/out2 -> b/in2", beside, nil, nil), missing("a/out3 -> b/in3", beside, nil, nil)},
			[][2]string{{"a/out1-3 -> b/in1-3", "none of these is possible together with a/out9 -> b/in9: together with any of them they take 2 ties, and there is 1"}}},
		{"each by itself", []plan.Missing{missing("a/out1 -> b/in1", "it takes 1 cord, and there is none", nil, nil), missing("a/out2 -> b/in2", "it takes 1 cord, and there is none", nil, nil)},
			[][2]string{{"a/out1-2 -> b/in1-2", "each takes 1 cord, and there is none"}}},
		{"two reasons, one remedy", []plan.Missing{missing("a/out1 -> b/in1", "no tie; both "+tied, both, nil), missing("a/out2 -> b/in2", "no mult; both "+tied, both, nil)},
			[][2]string{{"a/out1 -> b/in1", "no tie"}, {"a/out2 -> b/in2", "no mult; both " + tied}}},
		{"two remedies, one who has it", []plan.Missing{missing("a/out1 -> b/in1", "no tie; it "+tied+"; "+used, both, inUse), missing("a/out2 -> b/in2", "no dummy; "+used, other, inUse)},
			[][2]string{{"a/out1 -> b/in1", "no tie; it " + tied}, {"a/out2 -> b/in2", "no dummy; " + used}}},
		{"two that only read alike", []plan.Missing{missing("a/out1 -> b/in1", "no tie; it "+tied, both, nil), missing("a/out2 -> b/in2", "no mult; it "+tied, other, nil)},
			[][2]string{{"a/out1 -> b/in1", "no tie; it " + tied}, {"a/out2 -> b/in2", "no mult; it " + tied}}},
		{"left and right", []plan.Missing{missing("a/out1 -> b/in1", "a path there is not free: side/b9", nil, nil), missing("a/out2 -> b/in2", "a path there is not free: side/b10", nil, nil)},
			[][2]string{{"a/out1-2 -> b/in1-2", "a path there is not free: side/b9-10"}}},
		{"three lines that count on", []plan.Missing{of("connect[0]", "a/out1 -> b/in1", "tagged faulty: side/t1; it would be possible if mended"), of("connect[1]", "a/out2 -> b/in2", "tagged faulty: side/t2; it would be possible if mended"),
			of("connect[2]", "a/out3 -> b/in3", "tagged faulty: side/t3; it would be possible if mended")},
			[][2]string{{"a/out1-3 -> b/in1-3", "tagged faulty: side/t1-3; each would be possible if mended"}}},
		{"two lines of one reason", []plan.Missing{of("connect[0]", "a/out1 -> b/in1", beside), of("connect[1]", "a/out2 -> b/in2", beside)},
			[][2]string{{"a/out1-2 -> b/in1-2", "neither is possible together with a/out9 -> b/in9: together with either they take 2 ties, and there is 1"}}},
		{"two lines that do not count on", []plan.Missing{of("connect[0]", "a/out1 -> b/in1", beside), of("connect[1]", "a/out3 -> b/in2", beside)},
			[][2]string{{"a/out1 -> b/in1", beside}, {"a/out3 -> b/in2", beside}}},
		{"jacks of two bays", []plan.Missing{missing("a/out1 -> b/in1", "a path there is not free: side/b9", nil, nil), missing("a/out2 -> b/in2", "a path there is not free: main/b9", nil, nil)},
			[][2]string{{"a/out1 -> b/in1", "a path there is not free: side/b9"}, {"a/out2 -> b/in2", "a path there is not free: main/b9"}}},
		{"what each is not possible together with", []plan.Missing{missing("a/out1 -> b/in1", "it is not possible together with a/out7 -> b/in7: together they take 2 ties, and there is 1", nil, nil),
			missing("a/out2 -> b/in2", "it is not possible together with a/out8 -> b/in8: together they take 2 ties, and there is 1", nil, nil)},
			[][2]string{{"a/out1 -> b/in1", "it is not possible together with a/out7 -> b/in7: together they take 2 ties, and there is 1"},
				{"a/out2 -> b/in2", "it is not possible together with a/out8 -> b/in8: together they take 2 ties, and there is 1"}}},
		{"counted apart", []plan.Missing{missing("a/out1 -> b/in1", "it takes 2 outputs of grid, and there is 1 (grid/out1)", nil, nil), missing("a/out2 -> b/in2", "it takes 2 outputs of grid, and there is 1 (grid/out2)", nil, nil)},
			[][2]string{{"a/out1 -> b/in1", "it takes 2 outputs of grid, and there is 1 (grid/out1)"}, {"a/out2 -> b/in2", "it takes 2 outputs of grid, and there is 1 (grid/out2)"}}},
		{"nothing but the remedy", []plan.Missing{missing("a/out1 -> b/in1", "it "+tied, both, nil), missing("a/out2 -> b/in2", "no mult; it "+tied, both, nil)},
			[][2]string{{"a/out1 -> b/in1", "it " + tied}, {"a/out2 -> b/in2", "no mult; it " + tied}}},
	} {
		var got [][2]string
		for _, m := range plan.Merged(c.missing) {
			got = append(got, [2]string{m.Want, m.Because})
		}
		if len(got) != len(c.want) {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
			continue
		}
		for i := range got {
			if got[i] != c.want[i] {
				t.Errorf("%s: %q, want %q", c.name, got[i], c.want[i])
			}
		}
	}
}
