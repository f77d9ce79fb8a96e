package main

import (
	"bytes"
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/recall/files"
	"bayhand/recall/keep"
	"bayhand/recall/page"
	"bayhand/recall/words"
)

const twoDecks = `studio: Two decks
gear:
  tape: {outputs: {out1: pro-line}}
  deck: {inputs: {in1: pro-line}}
bays: {main: {pairs: 2, jack: bantam, modes: isolated}}
wiring: [tape/out1 -> main/t1, main/b2 -> deck/in1]
`

// stillRoom is a room that is as it is.
type stillRoom struct {
	keep.Room
	status keep.Status
}

func (r stillRoom) Status(context.Context) (keep.Status, error) { return r.status, nil }

// laidDecks are the files of two decks with a session.
func laidDecks(t *testing.T) files.Place {
	t.Helper()
	folder := t.TempDir()
	for file, content := range map[string]string{"studio.yaml": twoDecks, "sessions/over.yaml": "session: Over\nconnect: [tape/out1 -> deck/in1]\n"} {
		file = filepath.Join(folder, file)
		if err := os.MkdirAll(filepath.Dir(file), 0o700); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(content), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return files.Place{Studio: filepath.Join(folder, "studio.yaml")}
}

// Every paper that the page offers is made, and none of a session that is not there.
func TestPagePapers(t *testing.T) {
	p := &bayPage{library: files.NewLibrary(laidDecks(t)), room: stillRoom{}}
	for kind, of := range map[string]string{
		"cords": "", "wall": "", "form": "", "strips": "", "rear-strips": "", "schedule": "", "wraps": "", "levels": "",
		"recall/over": "over", "levels/over": "over", "strips/over": "over",
	} {
		made, err := p.paper(context.Background(), strings.TrimSuffix(kind, "/"+of), of, "http://bay.local")
		if err != nil || !bytes.HasPrefix(made, []byte("%PDF-")) {
			t.Errorf("%s: %d bytes, %v", kind, len(made), err)
		}
	}
	for _, kind := range []string{"recall", "levels", "strips", "wall", "before", "nothing"} {
		if _, err := p.paper(context.Background(), kind, "under", ""); !errors.Is(err, page.ErrNoPaper) {
			t.Errorf("%s of a session that is not there: %v", kind, err)
		}
	}
}

// The sheet that the page prints begins at the room as it is known: what is in already
// is not plugged again, and the sheet says how and since when it is known.
func TestPageSheetBeginsAtTheRoom(t *testing.T) {
	place := laidDecks(t)
	since := time.Date(2026, 3, 14, 18, 20, 0, 0, time.Local)
	in := keep.KnownCord{Cord: patch.Cord{A: name.At("main", "t", 1), B: name.At("main", "b", 2)}, Fact: keep.Fact{How: keep.Told, Since: since}}
	for _, test := range []struct {
		known        keep.Known
		problems     []keep.Problem
		says         string
		steps, stays int
	}{
		{known: keep.Known{Cords: []keep.KnownCord{in}}, says: "patch that is in since 2026-03-14 18:20 (in the bay: " + words.How(keep.Told) + ")", stays: 1},
		{problems: []keep.Problem{{Code: "bay-assumed"}}, says: "The steps begin at the rest patch: nothing is reported in the bay.", steps: 1},
	} {
		p := &bayPage{
			library: files.NewLibrary(place),
			room:    stillRoom{status: keep.Status{Known: test.known, Problems: test.problems}},
		}
		read, err := p.sound()
		if err != nil {
			t.Fatal(err)
		}
		sheet, err := p.recallSheet(context.Background(), read, "over")
		if err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(sheet.Known, test.says) || len(sheet.Steps) != test.steps || len(sheet.Stays) != test.stays {
			t.Errorf("the sheet has %d steps, %d cords that stay, and says %q; want %d, %d and %q", len(sheet.Steps), len(sheet.Stays), sheet.Known, test.steps, test.stays, test.says)
		}
	}
}
