package name

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func drawPoint(t *rapid.T) Point {
	owner := rapid.StringMatching(`[a-z][a-z0-9]{0,5}(-[a-z][a-z0-9]{0,3})?`).Draw(t, "owner")
	p := Point{Owner: owner, Stem: rapid.StringMatching(`([a-z]{1,4}(-[a-z]{1,4})?)?`).Draw(t, "stem"), Number: rapid.IntRange(0, MaxNumber).Draw(t, "number")}
	if p.Stem == "" && p.Number == 0 {
		p.Number = 1
	}
	if p.Stem != "" && p.Number > 0 {
		p.Part = rapid.SampledFrom([]Part{Whole, Send, Return}).Draw(t, "part")
	}
	return p
}

func TestPointsPrintAndParse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPoint(t)
		if q, err := Parse(p.String()); err != nil || q != p {
			t.Fatalf("%#v prints as %s, which is read as %#v (%v)", p, p, q, err)
		}
		text, err := p.MarshalText()
		var q Point
		if err != nil || q.UnmarshalText(text) != nil || q != p {
			t.Fatalf("%s is marshalled as %s and comes back as %s", p, text, q)
		}
	})
}

// Folding is the inverse of expanding, whatever the order.
func TestFoldedListsExpand(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var points []Point
		seen := map[Point]bool{}
		for range rapid.IntRange(0, 20).Draw(t, "count") {
			p := At(rapid.SampledFrom([]string{"a", "b"}).Draw(t, "owner"), rapid.SampledFrom([]string{"in", "out", ""}).Draw(t, "stem"), rapid.IntRange(1, 12).Draw(t, "number"))
			if !seen[p] {
				points = append(points, p)
			}
			seen[p] = true
		}
		var back []Point
		for _, text := range Fold(points) {
			more, err := List(text)
			if err != nil {
				t.Fatalf("%s: %v", text, err)
			}
			back = append(back, more...)
		}
		if !slices.Equal(points, back) {
			t.Fatalf("%v folds to %v and comes back as %v", points, Fold(points), back)
		}
	})
}

func TestLists(t *testing.T) {
	for _, test := range []struct{ text, want string }{
		{"interface/out1-3", "interface/out1 interface/out2 interface/out3"},
		{"interface/out1,3,5-6", "interface/out1 interface/out3 interface/out5 interface/out6"},
		{"interface/out3,1", "interface/out3 interface/out1"},
		{"interface/usb-out3-4", "interface/usb-out3 interface/usb-out4"},
		{"desk/ins1-2.send", "desk/ins1.send desk/ins2.send"},
		{"squeeze/1-2", "squeeze/1 squeeze/2"},
		{"plate", "plate"},
		{"desk/left", "desk/left"},
	} {
		points, err := List(test.text)
		var texts []string
		for _, p := range points {
			texts = append(texts, p.String())
		}
		if got := strings.Join(texts, " "); err != nil || got != test.want {
			t.Errorf("%s is %s (%v), want %s", test.text, got, err, test.want)
		}
	}
}

func TestMistakesInNames(t *testing.T) {
	for _, test := range []struct {
		text string
		at   int
		says string
	}{
		{"", 0, "a name is missing"},
		{"/out1", 0, "a name is missing"},
		{"Desk/out1", 0, "lower case"},
		{"dësk/out1", 1, "lower case"},
		{"1desk/out1", 0, "lower case"},
		{"desk2-1/out1", 4, "digit-hyphen-digit"},
		{"desk-/out1", 4, "ends in a hyphen"},
		{"desk/", 5, "missing after the slash"},
		{"desk/out-1", 8, "hyphen before its number"},
		{"desk/out1-", 10, "a number is missing"},
		{"desk/out01", 8, "leading zero"},
		{"desk/out0", 8, "begins with 0"},
		{"desk/out4-1", 8, "runs downward; write 1-4"},
		{"desk/out1,3,1", 12, "named twice"},
		{"desk/out1-3,2", 12, "named twice"},
		{"desk/out10000", 8, "over the largest"},
		{"desk/out99999999999999999999", 8, "is not a number"},
		{"desk/in1.sent", 8, ".send and .return"},
		{"desk/out1 -", 9, "has a space"},
	} {
		_, err := List(test.text)
		if err == nil || at(err) != test.at && test.at >= 0 || !strings.Contains(err.Error(), test.says) {
			t.Errorf("%q: %d %v, want %d and %q", test.text, at(err), err, test.at, test.says)
		}
	}
}

func TestOrder(t *testing.T) {
	var points []Point
	for _, text := range []string{"b/in1", "a/out10", "a/out2", "a/in1", "a/ins1.return", "a/ins1.send", "a/ins1"} {
		p, err := Parse(text)
		if err != nil {
			t.Fatal(err)
		}
		points = append(points, p)
	}
	slices.SortFunc(points, Point.Compare)
	var got []string
	for _, p := range points {
		got = append(got, p.String())
	}
	want := "a/in1 a/ins1 a/ins1.send a/ins1.return a/out2 a/out10 b/in1"
	if strings.Join(got, " ") != want {
		t.Errorf("sorted as %v, want %s", got, want)
	}
}

func FuzzList(f *testing.F) {
	for _, text := range []string{"a/out1-8", "a/ins1.send", "desk2-1/x", "a/usb-out3,5-6", "é/1", "a/1-9999"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		points, err := List(text)
		if err != nil {
			if e, ok := err.(*Error); !ok || e.At < 0 || e.At > len([]rune(text)) || e.Message == "" {
				t.Errorf("%q: %#v", text, err)
			}
			return
		}
		for _, p := range points {
			if q, err := Parse(p.String()); err != nil || q != p {
				t.Errorf("%q holds %v, which is read as %v (%v)", text, p, q, err)
			}
		}
	})
}

func FuzzParseChain(f *testing.F) {
	for _, text := range []string{"a/out1 -> [b/in1,3, c/1 -> d]", "a -> b", "[", "a/out1 -> []", "é -> é"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		c, err := ParseChain(text)
		if err != nil {
			if e, ok := err.(*Error); !ok || e.At < 0 || e.At > len([]rune(text)) || e.Message == "" {
				t.Errorf("%q: %#v", text, err)
			}
			return
		}
		if again, err := ParseChain(c.String()); err != nil || again.String() != c.String() {
			t.Errorf("%q prints as %q, which is read as %q (%v)", text, c, again, err)
		}
	})
}

func FuzzParsePair(f *testing.F) {
	for _, text := range []string{"a/in1 -> a/out1", "a/t1 = b/t1", "a/t1 - b/t2", "in1-4 x out9-16", "x - x", "a => b", "é = é"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		p, err := ParsePair(text, Into, All, Tied, Cord, Cross)
		if err != nil {
			if e, ok := err.(*Error); !ok || e.At < 0 || e.At > len([]rune(text)) || e.Message == "" {
				t.Errorf("%q: %#v", text, err)
			}
			return
		}
		if again, err := ParsePair(p.String(), Into, All, Tied, Cord, Cross); err != nil || again.String() != p.String() {
			t.Errorf("%q prints as %q, which is read as %q (%v)", text, p, again, err)
		}
	})
}
