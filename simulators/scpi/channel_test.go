package scpi

import (
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"bayhand/simulators/matrix"
)

// SCPI-1999 vol. 1, 8.3.2; restated by the tests of open SCPI parser libraries.
func TestChannelListsAreRead(t *testing.T) {
	one := func(numbers ...int) span { return span{numbers, numbers} }
	for text, want := range map[string][]span{
		"(@1!12,3!4:5!6)": {one(1, 12), {spec{3, 4}, spec{5, 6}}},
		"(@1,2!5:3!6)":    {one(1), {spec{2, 5}, spec{3, 6}}},
		"(@1,3,4:6)":      {one(1), one(3), {spec{4}, spec{6}}},
		"(@1,2,3:5)":      {one(1), one(2), {spec{3}, spec{5}}},
		"(@1!2!3)":        {one(1, 2, 3)},
		"(@01!02)":        {one(1, 2)},
	} {
		if got, err := parseChannels(text); err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("%s reads as %v, %v", text, got, err)
		}
	}
}

// SCPI-1999 vol. 1, 8.3.2: the rectangle that both corners span, row by row, the
// last number running fastest; restated by an example of an open SCPI parser
// library.
func TestRangesRunRowByRow(t *testing.T) {
	for text, want := range map[string][][2]int{
		"(@1!1:3!2)":     {{1, 1}, {1, 2}, {2, 1}, {2, 2}, {3, 1}, {3, 2}},
		"(@3!1:4!2)":     {{3, 1}, {3, 2}, {4, 1}, {4, 2}},
		"(@1!2,3!1:4!2)": {{1, 2}, {3, 1}, {3, 2}, {4, 1}, {4, 2}},
		"(@2!2:2!2,2!2)": {{2, 2}, {2, 2}},
	} {
		list, err := RowsAreOutputs.Channels(text, everywhere)
		if err != nil {
			t.Errorf("%s: %v", text, err)
		}
		var got [][2]int
		for _, c := range list {
			got = append(got, [2]int{int(c.Output), int(c.Input)})
		}
		if !reflect.DeepEqual(got, want) {
			t.Errorf("%s expands to %v, not %v", text, got, want)
		}
	}
}

func everywhere(matrix.Crosspoint) bool { return true }

func TestListsOfTooManyChannels(t *testing.T) {
	if list, err := RowsAreOutputs.Channels("(@1!1:256!256)", everywhere); err != nil || len(list) != MaxChannels {
		t.Errorf("%d channels, %v", len(list), err)
	}
	for _, text := range []string{"(@1!1:256!256,1!1)", "(@1!1:257!256)", "(@1!1:999999999!999999999)"} {
		if _, err := RowsAreOutputs.Channels(text, everywhere); err != (fault{code: tooMuchData}) {
			t.Errorf("%s: %v", text, err)
		}
	}
}

func TestListsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rows := rapid.SampledFrom([]Rows{RowsAreOutputs, RowsAreInputs}).Draw(t, "rows")
		want := map[matrix.Crosspoint]bool{}
		for range rapid.IntRange(1, 20).Draw(t, "count") {
			want[matrix.Crosspoint{
				Output: matrix.Output(rapid.IntRange(1, 99).Draw(t, "output")),
				Input:  matrix.Input(rapid.IntRange(1, 99).Draw(t, "input")),
			}] = true
		}
		var list []matrix.Crosspoint
		for c := range want {
			list = append(list, c)
		}
		back, err := rows.Channels(rows.List(list), everywhere)
		if err != nil || len(back) != len(want) {
			t.Fatalf("%s reads as %v, %v", rows.List(list), back, err)
		}
		for _, c := range back {
			if !want[c] {
				t.Fatalf("%s reads as %v", rows.List(list), back)
			}
		}
	})
}

// IEEE 488.2, 8.7.9; restated by the tests of an open SCPI parser library.
func TestBlocks(t *testing.T) {
	for data, want := range map[string]string{
		"a": "#11a", "X1234567890": "#211X1234567890", "a\r\n": "#13a\r\n", "": "#10",
		"(@)": "#13(@)", "(@1!1)": "#16(@1!1)", "(@1!2,3!4)": "#210(@1!2,3!4)", "(@1!1,2!3,10!12)": "#216(@1!1,2!3,10!12)",
	} {
		if got := Block(data); got != want {
			t.Errorf("%q becomes %q, not %q", data, got, want)
		}
	}
	for text, want := range map[string]string{"#11a": "a", "#204ABCD": "ABCD", "#13a\r\n": "a\r\n"} {
		units := scanner{text: "X " + text}
		u, _, err := units.next()
		if err != nil || len(u.data) != 1 || u.data[0] != (datum{block, want}) {
			t.Errorf("%q reads as %v, %v", text, u.data, err)
		}
	}
	units := scanner{text: "X #210ABCD"}
	if _, _, err := units.next(); err != (fault{code: invalidBlockData}) {
		t.Errorf("a block cut short: %v", err)
	}
}

// SCPI-1999 vol. 1, 8.3.2: a range is the rectangle between its corners, in the order
// in which they are written, downward too.
func TestRangesRunDownward(t *testing.T) {
	list, err := RowsAreOutputs.Channels("(@4!4:4!3,2!1:1!2)", func(matrix.Crosspoint) bool { return true })
	want := []matrix.Crosspoint{{Output: 4, Input: 4}, {Output: 4, Input: 3}, {Output: 2, Input: 1}, {Output: 2, Input: 2}, {Output: 1, Input: 1}, {Output: 1, Input: 2}}
	if err != nil || !slices.Equal(list, want) {
		t.Errorf("%v, %v", list, err)
	}
	if _, err := RowsAreOutputs.Channels("(@999999999!1:1!999999999)", func(matrix.Crosspoint) bool { return true }); err == nil {
		t.Error("a range of a billion rows was counted out")
	}
}
