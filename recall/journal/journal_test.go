package journal

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"go.etcd.io/bbolt"

	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/recall/keep"
)

var when = time.Date(2031, 5, 4, 10, 20, 30, 123456789, time.UTC)

// full is a memory with something in every field.
func full() keep.Memory {
	fact := func(how keep.How) keep.Fact { return keep.Fact{How: how, Since: when} }
	t1, b25 := name.At("main", "t", 1), name.At("main", "b", 25)
	out1, in5 := name.At("grid", "out", 1), name.At("grid", "in", 5)
	cord := patch.Cord{A: t1, B: b25, Length: 60 * measure.Centimetre, Poles: 2}
	kept := patch.Patch{
		Cords: []patch.Cord{cord}, Leads: []patch.Lead{{Port: name.At("synth", "out", 1), Jack: b25}},
		Dummies: []name.Point{t1}, Crosspoints: []patch.Crosspoint{{Output: out1, Input: in5}},
	}
	step := plan.Step{
		ID: "7", By: "grid", Do: plan.Switch, After: []string{"6"}, Because: "why",
		Crosspoints: []plan.Change{{Output: out1, Input: in5}},
	}
	insert := name.Point{Owner: "desk", Stem: "ins", Number: 1, Part: name.Send}
	back := patch.Patch{Cords: []patch.Cord{{A: name.At("main", "t", 4), B: name.At("main", "b", 4)}}}
	return keep.Memory{
		Pasts: []keep.Past{{Rooms: []string{"live"}, Session: "heron", Options: keep.RecallOptions{Prefer: "plain"}, Wanted: &session.Session{Name: "heron", Program: -1}, Patch: back}},
		Intent: keep.Intent{
			Back:   &back,
			Others: []keep.Held{{Session: "heron", Options: keep.RecallOptions{LeaveCords: true}, Wanted: &session.Session{Name: "heron", Program: -1}, Rooms: []string{"live"}}},
			Recall: 3, Session: "tern", Options: keep.RecallOptions{Prefer: "plain", Partly: true},
			Wanted: &session.Session{
				Name: "tern", Program: -1, Patch: &kept,
				Wants:  []session.Want{{Source: insert, Destination: in5, Via: []string{"grid"}, Keep: true, Key: "connect[0]"}},
				Inside: []studio.Pass{{In: in5, Out: out1}},
			},
			Meaning: "abc", From: kept, Planned: when,
			Plan: &plan.Plan{Session: "tern", Given: true, Plugs: 2, Least: 2, Target: plan.Target(kept),
				Moves: []plan.Move{}, Crosspoints: []plan.Change{}, Steps: []plan.Step{step}, Missing: []plan.Missing{}, Losses: []plan.Loss{}},
			Left:   []plan.Step{step},
			Done:   []keep.DoneStep{{Step: plan.Step{ID: "6", By: plan.Person, Do: plan.Mute, Ends: []name.Point{in5}, After: []string{}}, Fact: fact(keep.Told)}},
			Before: 1, NextID: 9, Sending: []string{"7"},
			Failed:         []keep.Failure{{ID: "8", Matrix: "grid", Code: "differs", Message: "m", Since: when}},
			Taken:          map[string]keep.KnownCord{"2": {Cord: cord, Fact: fact(keep.Told)}},
			PreviousInside: []studio.Pass{{In: in5, Out: out1}}, Kept: []name.Point{out1}, Given: true,
		},
		Known: keep.Known{
			Cords:       []keep.KnownCord{{Cord: cord, Fact: fact(keep.Told)}, {Cord: patch.Cord{A: t1}, Fact: fact(keep.Assumed)}},
			Leads:       []keep.KnownLead{{Lead: kept.Leads[0], Fact: fact(keep.Told)}},
			Dummies:     []keep.KnownDummy{{Jack: t1, Fact: fact(keep.Measured)}},
			Crosspoints: []keep.KnownCrosspoint{{Output: out1, Input: in5, Fact: fact(keep.Sent)}, {Output: name.At("grid", "out", 2), Fact: fact(keep.Read)}},
		},
		BayTold: true, Asked: when, Tags: []keep.Tag{{Jack: t1, Fact: fact(keep.Told)}},
		Silenced: []keep.Silenced{{Port: in5, Do: plan.Mute, Fact: fact(keep.Told)}}, WriteOnly: []string{"old"},
	}
}

type store interface {
	keep.Journal
	Find(keep.Query) ([]keep.Event, error)
}

func TestRemembersAll(t *testing.T) {
	file := filepath.Join(t.TempDir(), File)
	open := func() *Journal {
		j, err := Open(file)
		if err != nil {
			t.Fatal(err)
		}
		return j
	}
	j := open()
	remembers(t, j)
	if err := j.Close(); err != nil {
		t.Fatal(err)
	}
	j = open()
	defer j.Close()
	m, err := j.Load()
	if diff := cmp.Diff(full(), m); err != nil || diff != "" {
		t.Errorf("after opening again: %v\n%s", err, diff)
	}
}

func TestFleetingRemembersAll(t *testing.T) { remembers(t, &Fleeting{}) }

func remembers(t *testing.T, j store) {
	t.Helper()
	if m, err := j.Load(); err != nil || !cmp.Equal(m, keep.Memory{}) {
		t.Fatalf("an empty journal loads %+v, %v", m, err)
	}
	step := full().Intent.Left[0]
	if err := j.Write(keep.Memory{}, []keep.Event{{At: when, Kind: keep.Recalled, Text: "one"}}); err != nil {
		t.Fatal(err)
	}
	events := []keep.Event{{At: when, Kind: keep.Sending, Matrix: "grid", Step: &step, Text: "two"}, {At: when, Kind: keep.WasSent, Text: "three"}}
	if err := j.Write(full(), events); err != nil {
		t.Fatal(err)
	}
	m, err := j.Load()
	if diff := cmp.Diff(full(), m); err != nil || diff != "" {
		t.Errorf("loaded: %v\n%s", err, diff)
	}
	for since, want := range []string{"one two three", "two three", "three", "", ""} {
		got, err := j.Find(keep.Query{After: uint64(since)})
		if err != nil || texts(got) != want {
			t.Errorf("since %d: %q, %v, want %q", since, texts(got), err, want)
		}
		for i, e := range got {
			if e.Seq != uint64(since+i+1) {
				t.Errorf("event %d since %d has number %d", i, since, e.Seq)
			}
		}
	}
}

func texts(events []keep.Event) string {
	var all []string
	for _, e := range events {
		all = append(all, e.Text)
	}
	return strings.Join(all, " ")
}

func TestLines(t *testing.T) {
	var b bytes.Buffer
	if err := Lines(&b, []keep.Event{{Seq: 1, Kind: keep.Recalled, At: when, Text: "a"}, {Seq: 2, Kind: keep.WasGiven, At: when, Text: "b"}}); err != nil {
		t.Fatal(err)
	}
	want := `{"seq":1,"at":"2031-05-04T10:20:30.123456789Z","kind":"recalled","text":"a"}` + "\n" +
		`{"seq":2,"at":"2031-05-04T10:20:30.123456789Z","kind":"given","text":"b"}` + "\n"
	if b.String() != want {
		t.Errorf("got %s", b.String())
	}
}

// A lock within one process would not show what two processes do to each other,
// so the test runs itself as the second one.
func TestSecondProcessIsToldWhoHolds(t *testing.T) {
	if file := os.Getenv("BAYHAND_TEST_JOURNAL"); file != "" {
		_, err := Open(file)
		if err == nil || !errors.Is(err, ErrHeld) {
			t.Fatalf("opened beside another: %v", err)
		}
		os.Stdout.WriteString("REFUSED " + err.Error() + "\n")
		return
	}
	file := filepath.Join(t.TempDir(), File)
	j, err := Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer j.Close()
	second := func() string {
		c := exec.Command(os.Args[0], "-test.run=^TestSecondProcessIsToldWhoHolds$", "-test.v")
		c.Env = append(os.Environ(), "BAYHAND_TEST_JOURNAL="+file)
		out, err := c.CombinedOutput()
		if err != nil {
			t.Fatalf("%v\n%s", err, out)
		}
		return string(out)
	}
	pid := held{PID: os.Getpid()}
	if out := second(); !strings.Contains(out, "process "+itoa(pid.PID)) {
		t.Errorf("the process is not named: %s", out)
	}
	daemon := `{"address": "http://127.0.0.1:7420", "pid": ` + itoa(pid.PID) + `}`
	if err := os.WriteFile(filepath.Join(filepath.Dir(file), daemonFile), []byte(daemon), 0o600); err != nil {
		t.Fatal(err)
	}
	if out := second(); !strings.Contains(out, "the daemon at http://127.0.0.1:7420, process "+itoa(pid.PID)) {
		t.Errorf("the daemon is not named: %s", out)
	}
}

func itoa(n int) string {
	text := ""
	for ; n > 0; n /= 10 {
		text = string(rune('0'+n%10)) + text
	}
	return text
}

func TestNewerIsRefused(t *testing.T) {
	file := filepath.Join(t.TempDir(), File)
	j, err := Open(file)
	if err != nil {
		t.Fatal(err)
	}
	err = j.db.Update(func(tx *bbolt.Tx) error {
		return tx.Bucket(metaBucket).Put(versionKey, []byte(strconv.Itoa(Version+1)))
	})
	if err != nil {
		t.Fatal(err)
	}
	j.Close()
	if _, err := Open(file); !errors.Is(err, ErrNewer) || !strings.Contains(err.Error(), fmt.Sprint("version ", Version+1)) {
		t.Errorf("a newer journal: %v", err)
	}
}

func TestMissingFolder(t *testing.T) {
	_, err := Open(filepath.Join(t.TempDir(), "no", File))
	if !errors.Is(err, os.ErrNotExist) {
		t.Errorf("in no folder: %v", err)
	}
}

// What is pruned is gone, what is not stays as it is, and numbers go on.
func TestPrune(t *testing.T) {
	j, err := Open(filepath.Join(t.TempDir(), File))
	if err != nil {
		t.Fatal(err)
	}
	defer j.Close()
	noon := time.Date(2031, 5, 4, 12, 0, 0, 0, time.UTC)
	var events []keep.Event
	for n := range 2*pruneAtOnce + 5 {
		events = append(events, keep.Event{At: noon.Add(time.Duration(n) * time.Second)})
	}
	// The clock was set back once.
	events = append(events, keep.Event{At: noon, Text: "set back"}, keep.Event{At: noon.Add(24 * time.Hour), Text: "late"})
	if err := j.Write(full(), events); err != nil {
		t.Fatal(err)
	}
	before := noon.Add((2*pruneAtOnce + 3) * time.Second)
	n, err := j.Prune(before, keep.Event{At: noon.Add(48 * time.Hour), By: "ann"})
	if err != nil || n != 2*pruneAtOnce+3 {
		t.Errorf("pruned %d, %v", n, err)
	}
	if none, err := j.Prune(noon.Add(-time.Hour), keep.Event{By: "ben"}); none != 0 || err != nil {
		t.Errorf("nothing is so old, and %d are pruned, %v", none, err)
	}
	if err := j.Write(full(), []keep.Event{{At: noon, Text: "next"}}); err != nil {
		t.Fatal(err)
	}
	// Read piece by piece it is the same.
	pieces, after := 0, uint64(0)
	for {
		some, err := j.Find(keep.Query{After: after, First: 2})
		if err != nil {
			t.Fatal(err)
		}
		if len(some) == 0 {
			break
		}
		pieces, after = pieces+len(some), some[len(some)-1].Seq
	}
	if pieces != 6 {
		t.Errorf("%d events piece by piece", pieces)
	}
	left, err := j.Find(keep.Query{})
	if err != nil || len(left) != 6 || left[5].Seq != 2*pruneAtOnce+9 || texts(left[2:4]) != "set back late" || texts(left[5:]) != "next" {
		t.Errorf("left %+v, %v", left, err)
	}
	// Who did it, and of how many events, is itself on record.
	if e := left[4]; e.Kind != keep.Pruned || e.By != "ann" || e.Text != "forgot 2003 events from before 2031-05-04 12:33 UTC" {
		t.Errorf("of the pruning it says %+v", e)
	}
	if m, err := j.Load(); err != nil || !cmp.Equal(m, full()) {
		t.Errorf("the memory is %+v, %v", m, err)
	}
}
