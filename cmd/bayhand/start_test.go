package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
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
