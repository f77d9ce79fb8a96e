package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"testing"

	"bayhand/simulators/rooms"
)

// BenchmarkPapersOfAFacility runs whole commands, from reading the studio's file and its
// session to the paper on disk, in a house of 40 bays of 48 pairs, 16 matrices of 64 by
// 64 and 6,000 ports, with check beside to compare.
func BenchmarkPapersOfAFacility(b *testing.B) {
	folder := facilityFolder(b)
	b.Chdir(folder)
	for _, command := range [][]string{
		{"check"},
		{"levels"},
		{"levels", "one", "--paper", "levels.pdf"},
		{"wiring", "--csv", "cables.csv"},
		{"wiring", "--paper", "wiring.pdf"},
		{"labels", "--paper", "labels.pdf"},
		{"sheet", "one", "--from", "rest", "--paper", "sheet.pdf"},
		{"sheet", "--wall", "--paper", "wall.pdf"},
		{"sheet", "--blank", "--paper", "form.pdf"},
	} {
		b.Run(fmt.Sprint(command), func(b *testing.B) {
			for b.Loop() {
				var said bytes.Buffer
				a := newApp(nil, io.Discard, &said)
				if status := a.run(context.Background(), append([]string{"--state", filepath.Join(folder, "state")}, command...)); status != 0 {
					b.Fatalf("exit status %d: %s", status, said.String())
				}
			}
		})
	}
}

// facilityFolder holds the files of the house, with a session of its first bay.
func facilityFolder(tb testing.TB) string {
	folder := tb.TempDir()
	if err := os.Mkdir(filepath.Join(folder, "sessions"), 0o755); err != nil {
		tb.Fatal(err)
	}
	for file, content := range map[string]string{"studio.yaml": rooms.Facility(40), "sessions/one.yaml": "session: One\nconnect: [rack1a/out1-4 -> rack1c/in1-4]\n"} {
		if err := os.WriteFile(filepath.Join(folder, file), []byte(content), 0o600); err != nil {
			tb.Fatal(err)
		}
	}
	return folder
}
