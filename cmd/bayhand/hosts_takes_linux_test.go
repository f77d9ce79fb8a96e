package main

import (
	"fmt"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
)

// BenchmarkIdleHost is what a host takes of its machine while nothing happens: the memory
// that is its own, and its share of a core, with the table and cut off from it.
func BenchmarkIdleHost(b *testing.B) {
	h := atTable(b, 1, 31)
	one := h.add("a")
	h.write(one, h.roomFiles(one))
	h.start(one)
	h.shares(one)
	for _, is := range []struct {
		name  string
		state wayState
	}{{"at-the-table", whole}, {"cut-off", cut}} {
		b.Run(is.name, func(b *testing.B) { h.idle(b, one, is.state) })
	}
}

// idle measures a host for a minute an iteration, once it knows how it stands.
func (h *hosts) idle(b *testing.B, one *oneHost, state wayState) {
	h.through(one, state)
	h.until("the host knows how it stands", func() bool {
		s, err := h.status(one)
		return err == nil && slices.ContainsFunc(s.Problems, isCutOff) == (state == cut)
	})
	var took, passed time.Duration
	for b.Loop() {
		const idle = time.Minute
		before := processorTime(b, one.process.Process.Pid)
		<-time.After(idle)
		took, passed = took+processorTime(b, one.process.Process.Pid)-before, passed+idle
	}
	b.ReportMetric(100*float64(took)/float64(passed), "%-of-a-core")
	b.ReportMetric(ownMemory(b, one.process.Process.Pid), "MB-of-its-own")
}

// processorTime is what a process has had (proc(5), stat: utime and stime in hundredths of
// a second).
func processorTime(t testing.TB, pid int) time.Duration {
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
func ownMemory(t testing.TB, pid int) float64 {
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
