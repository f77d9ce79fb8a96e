package main

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/recall/files"
	"bayhand/recall/keep"
	"bayhand/recall/listen"
)

const twoLines = `studio: Two lines
gear:
  interface: {outputs: {out1-2: pro-line}, inputs: {in1-2: pro-line}, sound: {link: "LINK"}}
bays: {main: {pairs: 2, jack: bantam, modes: isolated}}
wiring: [interface/out1-2 -> main/t1-2, main/b1-2 -> interface/in1-2]
`

// The page listens by the link that the studio's file has, with the room as it is
// known; where that says files it says how to listen by files.
func TestPageListens(t *testing.T) {
	cord := func(a, b int) patch.Cord { return patch.Cord{A: name.At("main", "t", a), B: name.At("main", "b", b)} }
	for link, want := range map[string]error{"practice:real.yaml": nil, "files": errByFiles} {
		folder := t.TempDir()
		for file, content := range map[string]string{
			"studio.yaml": strings.Replace(twoLines, "LINK", link, 1),
			"real.yaml":   "patch:\n  cords: [main/t1 - main/b2, main/t2 - main/b1]\n",
		} {
			if err := os.WriteFile(filepath.Join(folder, file), []byte(content), 0o600); err != nil {
				t.Fatal(err)
			}
		}
		status := keep.Status{Known: keep.Known{Cords: []keep.KnownCord{{Cord: cord(1, 1)}, {Cord: cord(2, 2)}}}}
		p := &bayPage{library: files.NewLibrary(files.Place{Studio: filepath.Join(folder, "studio.yaml")}), room: stillRoom{status: status}}
		for _, kind := range []string{"before", "yearly"} {
			if made, err := p.paper(t.Context(), kind, "", ""); err != nil || !bytes.HasPrefix(made, []byte("%PDF-")) {
				t.Errorf("%s: %d bytes, %v", kind, len(made), err)
			}
		}
		plan, err := p.wouldHear(t.Context(), status)
		if !errors.Is(err, want) {
			t.Errorf("%s: %v, and not %v", link, err, want)
		}
		if err != nil {
			continue
		}
		passes := 0
		found, err := p.hear(t.Context(), plan, func(now listen.Progress) { passes = now.Pass })
		if err != nil {
			t.Fatal(err)
		}
		if len(found.Found.Findings) != 1 || found.Found.Findings[0].Code != "cords-swapped" || passes != 2 {
			t.Errorf("%d passes, found are %+v", passes, found.Found.Findings)
		}
	}
}
