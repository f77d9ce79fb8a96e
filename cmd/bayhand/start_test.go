package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"bayhand/recall/journal"
	"bayhand/recall/keep"
)

const smallStudio = `studio: Small
gear:
  interface: {outputs: {out1-4: pro-line}, inputs: {in1-4: pro-line}}
bays:
  main: {pairs: 8, modes: isolated}
wiring:
  - interface/out1-4 -> main/t1-4
  - main/b1-4 -> interface/in1-4
`

// Every command starts the whole program, so no package makes at its start what few of
// them need: the largest asks for some 90 kB, and the page asked for 17 MB as long as it
// packed its files then.
func TestNoPackageMakesMuchAtTheStart(t *testing.T) {
	const most = 1 << 20
	start := exec.Command("bayhand", "--help")
	start.Env = append(os.Environ(), "GODEBUG=inittrace=1", "GORACE=atexit_sleep_ms=20")
	var said strings.Builder
	start.Stderr = &said
	if err := start.Run(); err != nil {
		t.Fatal(err)
	}
	began := regexp.MustCompile(`init (bayhand/\S+) @.* (\d+) bytes,`).FindAllStringSubmatch(said.String(), -1)
	if len(began) < 10 {
		t.Fatalf("the start of %d packages is told:\n%s", len(began), said.String())
	}
	for _, b := range began {
		if bytes, err := strconv.Atoi(b[2]); err != nil || bytes > most {
			t.Errorf("%s asks for %s bytes", b[1], b[2])
		}
	}
}

// From nothing to a keeper that shows its first status and knows its session,
// with one session in the folder and with ten thousand.
func BenchmarkStartToReady(b *testing.B) {
	for _, sessions := range []int{1, 10_000} {
		b.Run(fmt.Sprint(sessions), func(b *testing.B) {
			folder := b.TempDir()
			put := func(file, text string) {
				if err := os.WriteFile(filepath.Join(folder, file), []byte(text), 0o644); err != nil {
					b.Fatal(err)
				}
			}
			put("studio.yaml", smallStudio)
			if err := os.Mkdir(filepath.Join(folder, "sessions"), 0o755); err != nil {
				b.Fatal(err)
			}
			for n := range sessions {
				put(fmt.Sprintf("sessions/s%d.yaml", n), "session: Some\nconnect:\n  - interface/out1-4 -> interface/in1-4\n")
			}
			store := &journal.Fleeting{}
			if err := store.Write(keep.Memory{Intent: keep.Intent{Session: "s0", Recall: 1}}, nil); err != nil {
				b.Fatal(err)
			}
			for b.Loop() {
				a := newApp(nil, io.Discard, io.Discard)
				a.files.at.Studio = filepath.Join(folder, "studio.yaml")
				keeper, err := keep.New(a.parts.config(store))
				if err != nil {
					b.Fatal(err)
				}
				ctx, stop := context.WithCancel(context.Background())
				ended := make(chan error, 1)
				go func() { ended <- keeper.Run(ctx) }()
				s, err := keeper.Status(ctx)
				if err != nil || s.Session != "s0" {
					b.Fatal(s.Session, err)
				}
				stop()
				if err := <-ended; err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
