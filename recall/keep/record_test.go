package keep_test

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"bayhand/recall/keep"
)

var update = flag.Bool("update", false, "write the record of the soak's first days anew")

// recordFile has one line for each of the soak's first days from seed 1: the day,
// how many lines its record has, and the SHA-256 sum of them.
const recordFile = "testdata/soak.txt"

// record is what a keeper did, in lines: the status after each thing that
// happened, before it the events that its journal was given until then, in the
// order of their texts.
type record struct {
	// mu guards the fields below: the keeper writes while the story goes on.
	mu    sync.Mutex
	lines []string
	// events are those since the last status.
	events []string
	// began is the time that times of a day are counted from.
	began time.Time
}

// begin begins a day.
func (r *record) begin() {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.lines, r.events, r.began = nil, nil, time.Now()
}

// wrote notes a write of the journal.
func (r *record) wrote(events []keep.Event) {
	if r == nil {
		return
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	for _, e := range events {
		r.events = append(r.events, r.line("event", e))
	}
}

// stood notes a status. Its number counts how often anything was shown, which
// is nobody's business but the screens'.
func (r *record) stood(s keep.Status) {
	if r == nil {
		return
	}
	s.Seq = 0
	r.mu.Lock()
	defer r.mu.Unlock()
	slices.Sort(r.events)
	r.lines = append(append(r.lines, r.events...), r.line("status", s))
	r.events = nil
}

// line is a value at this time, in one line.
func (r *record) line(what string, value any) string {
	text, err := json.Marshal(value)
	if err != nil {
		panic(err)
	}
	var plain any
	if err := json.Unmarshal(text, &plain); err != nil {
		panic(err)
	}
	if text, err = json.Marshal(ownPart(plain)); err != nil {
		panic(err)
	}
	return fmt.Sprintf("%v %s %s", time.Since(r.began), what, text)
}

// ownPart leaves out what is the planner's or the reader's and not the keeper's:
// plans as they were made, the reasons of steps, sessions as they were read, and the
// digest of the files.
func ownPart(value any) any {
	switch v := value.(type) {
	case map[string]any:
		for key, part := range v {
			v[key] = ownPart(part)
		}
		for _, key := range []string{"plan", "because", "meaning", "wanted"} {
			delete(v, key)
		}
	case []any:
		for i, part := range v {
			v[i] = ownPart(part)
		}
	}
	return value
}

// end closes a day: its lines are compared with those of the same day in the
// folder BAYHAND_RECORD, or written there, and its line of the table is given.
func (r *record) end(t *testing.T, day int) string {
	t.Helper()
	r.mu.Lock()
	defer r.mu.Unlock()
	text := strings.Join(r.lines, "\n") + "\n"
	sum := sha256.Sum256([]byte(text))
	line := fmt.Sprintf("%d %d %s", day, len(r.lines), hex.EncodeToString(sum[:]))
	if folder := os.Getenv("BAYHAND_RECORD"); folder != "" {
		compareDay(t, filepath.Join(folder, fmt.Sprintf("day-%02d.txt", day)), text)
	}
	r.lines = nil
	return line
}

// compareDay prints the first line in which a day differs from the one in the
// file; where there is no file yet it is written.
func compareDay(t *testing.T, file, text string) {
	t.Helper()
	was, err := os.ReadFile(file)
	if err != nil {
		if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	old, now := bufio.NewScanner(bytes.NewReader(was)), bufio.NewScanner(strings.NewReader(text))
	old.Buffer(nil, 1<<24)
	now.Buffer(nil, 1<<24)
	for n := 1; ; n++ {
		a, b := old.Scan(), now.Scan()
		if !a && !b {
			return
		}
		if a != b || old.Text() != now.Text() {
			t.Errorf("%s line %d was\n%s\nand is\n%s", file, n, old.Text(), now.Text())
			return
		}
	}
}

// compareRecord holds the days that were recorded against the table. The plans
// of the soak are made by the planner: a change of what it gives changes the
// record, which is then written anew with -update after a look at the difference
// (BAYHAND_RECORD names a folder: the first run writes each day there in full, the
// next says where it differs first).
func compareRecord(t *testing.T, days []string) {
	t.Helper()
	if *update {
		if err := os.WriteFile(recordFile, []byte(strings.Join(days, "\n")+"\n"), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	text, err := os.ReadFile(recordFile)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range strings.Split(strings.TrimSpace(string(text)), "\n") {
		if i < len(days) && days[i] != want {
			t.Errorf("the record of day %d is not what it was: %s, and was %s", i, days[i], want)
			return
		}
	}
}
