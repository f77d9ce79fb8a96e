package matrix

import (
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func TestParseFaults(t *testing.T) {
	got, err := ParseFaults([]string{"lose=3", "garble=4", "refuse", "delay=200ms", "dead=100", "reboot=7", "stuck=out3:in5", "welded=out1:in1", "welded=out2:in1"})
	if err != nil {
		t.Fatal(err)
	}
	want := Faults{
		Lose: 3, Garble: 4, Refuse: 1, Delay: 200 * time.Millisecond, Dead: 100, Reboot: 7,
		Stuck: []Crosspoint{{3, 5}}, Welded: []Crosspoint{{1, 1}, {2, 1}},
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	if again, err := ParseFaults([]string{"refuse=2"}); err != nil || again.Refuse != 2 {
		t.Errorf("refuse=2: %+v, %v", again, err)
	}
}

func TestFaultsThatAreNone(t *testing.T) {
	for item, says := range map[string]string{
		"":                 "the faults are",
		"loose=3":          "the faults are",
		"lose":             "write one such as lose=3",
		"lose=0":           "from 1",
		"garble=-1":        "from 1",
		"refuse=":          "from 1",
		"dead=many":        `"many" is not a whole number`,
		"delay=200":        "200ms or 2s",
		"delay=-1s":        "200ms or 2s",
		"delay=2h":         "up to an hour",
		"stuck=3:5":        "out3:in5",
		"welded=out0:in":   "out3:in5",
		"welded=out+1:in1": "out3:in5",
	} {
		if f, err := ParseFaults([]string{"lose=1", item}); err == nil || !strings.Contains(err.Error(), says) || f.Lose != 0 {
			t.Errorf("%q gives %+v and %v; it should say %q", item, f, err, says)
		}
	}
}

func TestFaultHelpNamesEveryFault(t *testing.T) {
	for _, line := range strings.Split(FaultHelp, "\n") {
		example := strings.NewReplacer("N", "3", "[", "", "]", "").Replace(strings.Fields(line)[0])
		if _, err := ParseFaults([]string{example}); err != nil {
			t.Errorf("the help's own %q: %v", example, err)
		}
	}
}

func TestCrosspointsPrintAndParse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := Crosspoint{Output(rapid.IntRange(1, MaxSize).Draw(t, "output")), Input(rapid.IntRange(1, MaxSize).Draw(t, "input"))}
		if got, err := ParseCrosspoint(c.String()); err != nil || got != c {
			t.Fatalf("%v reads back as %v, %v", c, got, err)
		}
	})
}
