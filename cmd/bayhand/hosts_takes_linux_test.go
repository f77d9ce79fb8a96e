package main

import (
	"fmt"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"
)

// What a host takes of its machine while nothing happens: the memory that is its own, and
// its share of a core, with the table and cut off from it. It is measured in the long form
// (BAYHAND_HOSTS) and reported; a loaded machine makes it no failure.
func TestWhatAHostTakes(t *testing.T) {
	if os.Getenv("BAYHAND_HOSTS") == "" {
		t.Skip("it takes two minutes, and is measured with BAYHAND_HOSTS")
	}
	h := atTable(t, 1, 31)
	one := h.add("a")
	h.write(one, h.roomFiles(one))
	h.start(one)
	h.shares(one)
	for _, state := range []wayState{whole, cut} {
		h.through(one, state)
		h.until("the host knows how it stands", func() bool {
			s, err := h.status(one)
			is := false
			for _, p := range s.Problems {
				is = is || isCutOff(p)
			}
			return err == nil && is == (state == cut)
		})
		const idle = time.Minute
		before := processorTime(t, one.process.Process.Pid)
		<-time.After(idle)
		share := float64(processorTime(t, one.process.Process.Pid)-before) / float64(idle)
		t.Logf("cut off %v: %.2f %% of a core while nothing happens (aim 0.5), %.1f MB of its own (aim 15)", state == cut, 100*share, ownMemory(t, one.process.Process.Pid))
	}
}

// processorTime is what a process has had (proc(5), stat: utime and stime in hundredths of
// a second).
func processorTime(t *testing.T, pid int) time.Duration {
	t.Helper()
	stat, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", pid))
	if err != nil {
		t.Fatal(err)
	}
	_, rest, _ := strings.Cut(string(stat), ") ") // behind the name, which may have spaces
	fields := strings.Fields(rest)
	var all int
	for _, field := range fields[11:13] {
		n, err := strconv.Atoi(field)
		if err != nil {
			t.Fatal(err)
		}
		all += n
	}
	return time.Duration(all) * 10 * time.Millisecond
}

// ownMemory are the megabytes that no other process shares and that are in no file (proc(5),
// smaps_rollup: Private_Dirty).
func ownMemory(t *testing.T, pid int) float64 {
	t.Helper()
	rollup, err := os.ReadFile(fmt.Sprintf("/proc/%d/smaps_rollup", pid))
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(rollup)) {
		if fields := strings.Fields(line); fields[0] == "Private_Dirty:" {
			n, err := strconv.Atoi(fields[1])
			if err != nil {
				t.Fatal(err)
			}
			return float64(n) / 1000
		}
	}
	t.Fatal("the system does not say what memory is its own")
	return 0
}
