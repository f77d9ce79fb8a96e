package main

import (
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bayhand/recall/files"
)

// What the page keeps of a wrong file is not the file again for each of its mistakes,
// and beyond a hundred they are counted.
func TestPageKeepsLittleOfWrongFiles(t *testing.T) {
	folder := t.TempDir()
	at := files.Place{Studio: filepath.Join(folder, "studio.yaml")}
	put := func(file, src string) {
		if err := os.WriteFile(filepath.Join(folder, file), []byte(src), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	put("studio.yaml", smallStudio)
	if err := os.Mkdir(filepath.Join(folder, "sessions"), 0o700); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"a", "b"} {
		put("sessions/"+name+".yaml", "session: x\nsilent: ["+strings.Repeat("nothing/in1, ", 20_000)+"]\n")
	}
	a := newApp(nil, io.Discard, io.Discard)
	a.files.at = at
	found, _ := findings(t.Context(), a.files.library())
	kept := 0
	for _, f := range found {
		kept += len(f.Source) + len(f.Message)
	}
	last := found[len(found)-1]
	if len(found) != mostFindings+1 || !strings.HasSuffix(last.Message, "more findings") || last.Severity != "error" || kept > 100*1000 {
		t.Errorf("%d findings keep %d bytes, and the last is %+v", len(found), kept, last)
	}
}
