package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"

	"bayhand/drivers/descriptions"
	"bayhand/model/plan"
	"bayhand/model/text"
	"bayhand/recall/files"
	"bayhand/recall/keep"
)

func TestStatusOf(t *testing.T) {
	for _, test := range []struct {
		err  error
		want status
	}{
		{nil, done},
		{errors.New("anything else"), cannot},
		{context.Canceled, cannot},
		{wrongUsage("no such thing"), usage},
		{fmt.Errorf("around: %w", wrongUsage("no such thing")), usage},
		{silent(cannot), cannot},
		{silent(done), done},
		{fmt.Errorf("grid: %w", keep.ErrNoAnswer), noAnswer},
		{errors.Join(keep.ErrRefused, keep.ErrNoAnswer), noAnswer},
		{keep.ErrRefused, cannot},
		{&keep.NotGivenError{Session: "a"}, cannot},
		{keep.ErrUnknownStep, usage},
		{keep.ErrUnknownSession, usage},
	} {
		if got := statusOf(test.err); got != test.want {
			t.Errorf("%v ends with status %d, not %d", test.err, got, test.want)
		}
	}
}

// Two devices that do not answer are two lines, each under the program's name.
func TestEachErrorIsSigned(t *testing.T) {
	for wrong, want := range map[string]string{
		"one":                     "bayhand: one\n",
		"one\ntwo\n":              "bayhand: one\nbayhand: two\n",
		"a.yaml:1:1: x\n    y: z": "bayhand: a.yaml:1:1: x\n    y: z\n",
	} {
		if got := signed(wrong); got != want {
			t.Errorf("%q is printed as %q, want %q", wrong, got, want)
		}
	}
}

// What a newcomer types for what a command does leads to that command.
func TestOtherWords(t *testing.T) {
	root := newApp(strings.NewReader(""), io.Discard, io.Discard).root()
	for typed, want := range map[string]string{
		"status": "cords", "tick": "done", "connect": "plug", "patch": "plug", "disconnect": "unplug",
		"restore": "recall", "load": "recall", "save": "capture", "print": "cords or sheet", "list": "cords",
		"show": "cords", "sessions": "recall", "rest": "strip", "where": "trace", "route": "trace", "test": "verify",
		"log": "history", "remove": "unplug", "start": "daemon", "init": "daemon", "redo": "undo", "snapshot": "capture",
		"broken": "tag", "cables": "wiring", "Status": "cords", "chekc": "check", "unplgu": "unplug", "xylophone": "",
	} {
		got := fmt.Sprint(nearestCommand(root, []string{typed}))
		if _, got, _ = strings.Cut(got, "did you mean "); strings.TrimSuffix(got, "?") != want {
			t.Errorf("%q leads to %q, not %q", typed, got, want)
		}
	}
	taken := map[string]bool{}
	for _, c := range root.Commands() {
		taken[c.Name()] = true
		for _, other := range c.Aliases {
			taken[other] = true
		}
	}
	for _, c := range root.Commands() {
		for _, word := range c.SuggestFor {
			if taken[word] || word != strings.ToLower(word) {
				t.Errorf("%s cannot be led to by %q", c.Name(), word)
			}
		}
	}
}

func TestSize(t *testing.T) {
	if in, out, err := size("16x8"); in != 16 || out != 8 || err != nil {
		t.Errorf("16x8 is %d inputs and %d outputs, %v", in, out, err)
	}
	for _, bad := range []string{"16", "x", "0x4", "4x-1", "4x4x4", "4 x 4", "a4x4"} {
		if _, _, err := size(bad); statusOf(err) != usage {
			t.Errorf("size %q: %v", bad, err)
		}
	}
}

func TestLinksOf(t *testing.T) {
	links, err := linksOf([]string{"grid=serial:/dev/ttyUSB0?baud=9600&parity=none", "shade=tcp:127.0.0.1:5025"})
	if err != nil || links["grid"] != "serial:/dev/ttyUSB0?baud=9600&parity=none" || links["shade"] != "tcp:127.0.0.1:5025" {
		t.Errorf("%v, %v", links, err)
	}
	for _, bad := range []string{"grid", "=tcp:127.0.0.1:5025", "grid="} {
		if _, err := linksOf([]string{bad}); statusOf(err) != usage {
			t.Errorf("%q: %v", bad, err)
		}
	}
}

func TestTogetherEndsAllWhenOneFails(t *testing.T) {
	trouble := errors.New("trouble")
	ended := false
	err := runAll(t.Context(),
		func(context.Context) error { return trouble },
		func(ctx context.Context) error { <-ctx.Done(); ended = true; return nil },
	)
	if !errors.Is(err, trouble) || !ended {
		t.Errorf("%v, the other ended: %v", err, ended)
	}
}

// Every description that ships can be simulated, and its lines are no wider than
// a terminal.
func TestEveryDescriptionIsSimulated(t *testing.T) {
	for _, name := range descriptions.Names() {
		a := newApp(nil, io.Discard, io.Discard)
		if _, err := simulated(a, name, simulating{size: "4x1", listen: "tcp:127.0.0.1:0"}); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// Help must fit a terminal of 80 columns.
func TestHelpFitsTheTerminal(t *testing.T) {
	var commands []string
	for _, c := range newApp(nil, io.Discard, io.Discard).root().Commands() {
		commands = append(commands, c.Name())
	}
	for _, name := range append(commands, "") {
		var out strings.Builder
		a := newApp(nil, &out, &out)
		if status := a.run(t.Context(), append(strings.Fields(name), "--help")); status != 0 {
			t.Fatalf("%s --help ends with status %d: %s", name, status, out.String())
		}
		for line := range strings.Lines(out.String()) {
			if n := len([]rune(strings.TrimRight(line, "\n"))); n > 80 {
				t.Errorf("%s --help has a line of %d columns: %s", name, n, line)
			}
		}
	}
}

// The page of keys names every key that the readers know, and fits a terminal.
func TestKeysPage(t *testing.T) {
	page := keysPage()
	for line := range strings.Lines(page) {
		if n := len([]rune(strings.TrimRight(line, "\n"))); n > 80 {
			t.Errorf("a line of %d columns: %s", n, line)
		}
	}
	for _, table := range []text.Table{text.StudioFields(), text.SessionFields(), text.PatchFields(), text.DeviceFields()} {
		for _, key := range table.Keys() {
			if !strings.Contains(page, "\n    "+key+":") && !strings.Contains(page, "\n    "+key+"*:") {
				t.Errorf("the page of keys has no %s", key)
			}
		}
	}
}

// A recall for which the search stopped too early says the command that looks longer, with
// all that was asked for.
func TestStoppedRecall(t *testing.T) {
	for want, options := range map[string]keep.RecallOptions{
		"bayhand recall mix --effort 1920":                                            {Prefer: "same"},
		"bayhand recall mix --prefer fewest --leave --inside --instead --effort 2400": {Prefer: "fewest", LeaveCords: true, Inside: true, Instead: true, Effort: 600},
	} {
		var said strings.Builder
		v := &view{out: &output{err: &said}}
		err := v.refusal(nil, keep.Act{Do: keep.ToRecall, Session: "mix", Options: options}, &keep.NotGivenError{Session: "Mix", Stopped: true})
		text := strings.Join(strings.Fields(said.String()), " ")
		if statusOf(err) != cannot || !strings.Contains(text, "nothing was changed: the search stopped before a plan for Mix was found") || !strings.HasSuffix(text, want) {
			t.Errorf("%v: %s; it should end with %q", err, text, want)
		}
	}
}

// A search that was stopped before it could tell is no refusal, and says what to do.
func TestStoppedSearch(t *testing.T) {
	for effort, more := range map[int64]string{0: "1920", 600: "2400"} {
		err := missing(&output{err: io.Discard}, &files.Studio{}, &files.Session{}, &plan.Plan{Stopped: true}, effort)
		if want := "the search stopped before a plan was found; allow it more, such as --effort " + more; err == nil || err.Error() != want {
			t.Errorf("%v; it should be %q", err, want)
		}
	}
}
