package name

import (
	"strings"
	"testing"
)

// A list has numbers: ports that have names each take a line, and the message says so at the
// comma, where a capital or another sign has a message of its own.
func TestListsOfNames(t *testing.T) {
	for text, want := range map[string]struct {
		says string
		at   int
	}{
		"synth/left,right":      {"lists ports by their names", 10},
		"synth/mix-l,mix-r":     {"lists ports by their names", 11},
		"synth/out1,left":       {"lists ports by their names", 10},
		"synth/left,right.send": {"lists ports by their names", 10},
		"synth/Left,right":      {`has 'L'; a port's name is of lower case letters`, 6},
		"synth/,left":           {"a port's name is of lower case letters", 6},
		"synth/out1,3,x":        {"", 0},
		"synth/out1, 3":         {"has a space", 11},
		"synth/out1,":           {"a number is missing here", 11},
	} {
		_, err := List(text)
		e, ok := err.(*Error)
		if !ok || !strings.Contains(e.Message, want.says) || want.says != "" && e.At != want.at {
			t.Errorf("%s: %v at %v, want %q at %d", text, err, e, want.says, want.at)
		}
	}
	if points, err := List("synth/out1,3,5-8"); err != nil || len(points) != 6 {
		t.Errorf("a list of numbers is %v (%v)", points, err)
	}
}
