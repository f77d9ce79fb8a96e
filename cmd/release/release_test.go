package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"compress/gzip"
	"encoding/json"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

func TestChosen(t *testing.T) {
	got, err := chosen("windows/arm64,linux/armv6")
	if err != nil || len(got) != 2 || got[0].program() != "bayhand.exe" || got[1].goarch() != "arm" {
		t.Errorf("%v (%v)", got, err)
	}
	if _, err := chosen("plan9/mips"); err == nil || !strings.Contains(err.Error(), "linux/amd64, linux/arm64, linux/armv6") {
		t.Errorf("the message does not say what is built: %v", err)
	}
	if err := run(t.Context(), []string{"more"}); err == nil {
		t.Error("a word that is no flag is taken")
	}
}

func TestAFolderWithSomethingInItIsLeftAlone(t *testing.T) {
	folder := t.TempDir()
	if err := os.WriteFile(filepath.Join(folder, "mine"), nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := run(t.Context(), []string{"--out", folder, "--snapshot"}); err == nil || !strings.Contains(err.Error(), "not empty") {
		t.Errorf("got %v", err)
	}
}

// A tag is a version as semver.org has it.
func TestTags(t *testing.T) {
	for tag, is := range map[string]bool{"v1.2.3": true, "v0.1.0-rc.1": true, "v1.2": false, "v1.2.3+x": false, "release": false} {
		if tagged.MatchString(tag) != is {
			t.Errorf("%s: %v", tag, !is)
		}
	}
}

// Archives have the time of the commit and nothing of this machine, and are read
// back by the standard library's own readers.
func TestArchives(t *testing.T) {
	when := time.Date(2026, 1, 2, 3, 4, 6, 0, time.UTC)
	entries := []entry{{"bayhand", 0o755, []byte("program")}, {"share/man/man1/bayhand.1", 0o644, []byte("page")}}
	var one, two bytes.Buffer
	for _, to := range []*bytes.Buffer{&one, &two} {
		if err := errors.Join(writeTar(to, "b", entries, when), writeZip(to, "b", entries, when)); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(one.Bytes(), two.Bytes()) {
		t.Error("the same entries give other bytes")
	}
	var tarred, zipped bytes.Buffer
	if err := errors.Join(writeTar(&tarred, "b", entries, when), writeZip(&zipped, "b", entries, when)); err != nil {
		t.Fatal(err)
	}
	plain, err := gzip.NewReader(&tarred)
	if err != nil {
		t.Fatal(err)
	}
	head, err := tar.NewReader(plain).Next()
	if err != nil || head.Name != "b/bayhand" || head.Mode != 0o755 || !head.ModTime.Equal(when) || head.Uname != "" {
		t.Errorf("%+v (%v)", head, err)
	}
	z, err := zip.NewReader(bytes.NewReader(zipped.Bytes()), int64(zipped.Len()))
	if err != nil {
		t.Fatal(err)
	}
	page, err := z.Open("b/share/man/man1/bayhand.1")
	if err != nil {
		t.Fatal(err)
	}
	if text, err := io.ReadAll(page); err != nil || string(text) != "page" || !z.File[0].Modified.Equal(when) {
		t.Errorf("%q %v (%v)", text, z.File[0].Modified, err)
	}
}

// Every module of the program has a licence that is found; one that has none is an
// error and not left out.
func TestNotices(t *testing.T) {
	program, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir("../..")
	text, err := collectNotices(t.Context(), program)
	if err != nil || !strings.Contains(text, "The Go standard library") || !strings.Contains(text, "Copyright") {
		t.Errorf("%v\n%.300s", err, text)
	}
	var b strings.Builder
	if err := notice(&b, "a module", t.TempDir()); err == nil {
		t.Error("a module without a licence is taken")
	}
}

func TestPackageHasEverything(t *testing.T) {
	beside, folder := t.TempDir(), t.TempDir()
	place := filepath.Join(beside, "usr/share/zsh/vendor-completions")
	if err := os.MkdirAll(place, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(place, "_bayhand"), nil, 0o600); err != nil {
		t.Fatal(err)
	}
	from := &source{version: "1.2.3", when: time.Unix(0, 0).UTC()}
	for kind, want := range map[string]string{"deb": "/usr/share/zsh/vendor-completions/_bayhand", "rpm": "/usr/share/zsh/site-functions/_bayhand"} {
		path, err := configure(from, systems[2], kind, "program", beside, "licences", folder)
		if err != nil {
			t.Fatal(err)
		}
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		var config struct {
			Arch     string
			Contents []struct{ Dst string }
			Scripts  map[string]string
		}
		if err := json.Unmarshal(text, &config); err != nil {
			t.Fatal(err)
		}
		found := false
		for _, c := range config.Contents {
			found = found || c.Dst == want
		}
		if !found || config.Arch != "arm6" || len(config.Scripts) != 3 {
			t.Errorf("%s: %s", kind, text)
		}
		for _, script := range config.Scripts {
			text, err := os.ReadFile(script)
			if err != nil || strings.Contains(string(text), "restart") || strings.Contains(string(text), "enable") || strings.Contains(string(text), " start ") {
				t.Errorf("%s starts something: %s (%v)", script, text, err)
			}
		}
	}
}
