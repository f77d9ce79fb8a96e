package name

import (
	"strings"
	"testing"
)

func TestParseChain(t *testing.T) {
	for _, test := range []struct{ text, want string }{
		{"a/out1 -> b/in1", "a/out1@0 -> b/in1@10"},
		{"a/out1->b/in1", "a/out1@0 -> b/in1@8"},
		{"  a/out1-8   ->  squeeze/1 -> c ", "a/out1-8@2 -> squeeze/1@17 -> c@30"},
		{"a/out1 -> [b/in1,3, c/in1 -> d/in1]", "a/out1@0 -> [b/in1,3@11, c/in1@20 -> d/in1@29]"},
		{"a/out1 -> [b/in1,c/in1]", "a/out1@0 -> [b/in1@11, c/in1@17]"},
		{"a/out1 -> [b/1 -> [c/in1, d/in1], e/in1]", "a/out1@0 -> [b/1@11 -> [c/in1@19, d/in1@26], e/in1@34]"},
		{"x -> y/in1 -> x", "x@0 -> y/in1@5 -> x@14"},
		{"a/out1,3,5-8 -> b/in1-6", "a/out1,3,5-8@0 -> b/in1-6@16"},
	} {
		c, err := ParseChain(test.text)
		if err != nil || placed(c) != test.want {
			t.Errorf("%q is %s (%v), want %s", test.text, placed(c), err, test.want)
		}
		if again, err := ParseChain(c.String()); err != nil || again.String() != c.String() {
			t.Errorf("%q prints as %q, which is read as %q (%v)", test.text, c, again, err)
		}
	}
}

// placed prints a chain with the place of each hop.
func placed(c Chain) string {
	var words []string
	for _, h := range c.Hops {
		words = append(words, h.Text+"@"+Point{Number: h.At}.Port())
		if h.At == 0 {
			words[len(words)-1] = h.Text + "@0"
		}
	}
	if len(c.Split) > 0 {
		var branches []string
		for _, b := range c.Split {
			branches = append(branches, placed(b))
		}
		words = append(words, "["+strings.Join(branches, ", ")+"]")
	}
	return strings.Join(words, " -> ")
}

func TestMistakesInChains(t *testing.T) {
	for _, test := range []struct {
		text string
		at   int
		says string
	}{
		{"", 0, "missing at the end"},
		{"a/out1", 0, "goes nowhere"},
		{"a/out1 = b/in1", 7, "= stands here"},
		{"a/out1 => b/in1", 7, "=> stands here"},
		{"a/out1 ->", 9, "missing at the end"},
		{"-> b/in1", 0, "missing before"},
		{"a/out1 -> -> b/in1", 10, "missing before"},
		{"a/out1 -> [b/in1", 10, "never closed"},
		{"a/out1 -> [b/in1, ]", 18, "missing before"},
		{"a/out1 -> []", 11, "missing before"},
		{"a/out1 -> b/in1]", 15, "closes nothing"},
		{"a/out1 [b/in1]", 7, "arrow is missing"},
		{"a/out1 -> [b/in1] -> c/in1", 18, "a split ends its line"},
		{"a/out1 -> [[b/in1]]", 11, "after a -> only"},
		{"[a/out1] -> b/in1", 0, "after a -> only"},
		{"a/out1 -> Bé/in1", 10, "lower case"},
		{"a/out1 -> b/ïn1", 12, "lower case"},
		{"a/out1 -> b/in01", 14, "leading zero"},
		{"a/out1, 3 -> b/in1", 7, "without"},
		{"a/out1 -> " + strings.Repeat("[a/1 -> ", 20) + "b/in1" + strings.Repeat("]", 20), 138, "deep"},
	} {
		_, err := ParseChain(test.text)
		e, ok := err.(*Error)
		if !ok || e.At != test.at || !strings.Contains(e.Message, test.says) {
			t.Errorf("%q: %d %v, want %d and %q", test.text, at(err), err, test.at, test.says)
		}
	}
}

func at(err error) int {
	if e, ok := err.(*Error); ok {
		return e.At
	}
	return -1
}

func TestParsePair(t *testing.T) {
	for _, test := range []struct {
		text        string
		operator    Operator
		left, right string
		at          int
	}{
		{"main/b40-43 = far/t1-4", Tied, "main/b40-43", "far/t1-4", 14},
		{"main/t1 - main/b25", Cord, "main/t1", "main/b25", 10},
		{"bay-a/t1 - bay-b/b2", Cord, "bay-a/t1", "bay-b/b2", 11},
		{"in1 -> out1", Into, "in1", "out1", 7},
		{"in1-2=>out1", All, "in1-2", "out1", 7},
		{"in1-4 x out9-16", Cross, "in1-4", "out9-16", 8},
		{"mix1 x matrix2", Cross, "mix1", "matrix2", 7},
	} {
		parse := func(text string, allowed ...Operator) (Pair, error) { return ParsePair(text, allowed...) }
		if !strings.Contains(test.text, "/") {
			parse = func(text string, allowed ...Operator) (Pair, error) { return ParseOwnPair("gear", text, allowed...) }
		}
		p, err := parse(test.text, Into, All, Tied, Cord, Cross)
		if err != nil || p.Operator != test.operator || p.Left.Text != test.left || p.Right.Text != test.right || p.Right.At != test.at {
			t.Errorf("%q is %+v (%v)", test.text, p, err)
		}
		if again, err := parse(p.String(), test.operator); err != nil || again.String() != p.String() {
			t.Errorf("%q prints as %q (%v)", test.text, p, err)
		}
	}
}

func TestMistakesInPairs(t *testing.T) {
	for _, test := range []struct {
		text string
		at   int
		says string
	}{
		{"main/t1", 0, "has no ="},
		{"main/t1 -> main/t2", 8, "-> stands here; write ="},
		{"main/t1 = ", 10, "missing after the ="},
		{" = main/t1", 1, "missing before the ="},
		{"main/t1 = main/t2 = main/t3", 18, "a second ="},
		{"main/t1 = main/t2 - main/t3", 18, "a second -"},
		{"mäin/t1 = main/t2", 1, "lower case"},
		{"main/t1 = main/tt-2", 17, "hyphen before"},
	} {
		_, err := ParsePair(test.text, Tied)
		if at(err) != test.at || !strings.Contains(err.Error(), test.says) {
			t.Errorf("%q: %d %v, want %d and %q", test.text, at(err), err, test.at, test.says)
		}
	}
	if _, err := ParseOwnPair("gear", "gear/in1 -> out1", Into); at(err) != 0 || !strings.Contains(err.Error(), "without its name: in1") {
		t.Errorf("a port with its gear: %v", err)
	}
}
