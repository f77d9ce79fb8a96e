package main

import (
	"bytes"
	"context"
	"debug/buildinfo"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"strings"
)

// collectNotices are the licences of everything that is in the program: of Go, and
// of each module that it was built of. One without a licence is an error.
func collectNotices(ctx context.Context, program string) (string, error) {
	info, err := buildinfo.ReadFile(program)
	if err != nil {
		return "", err
	}
	var b strings.Builder
	b.WriteString("bayhand contains the following, under the licences below.\n")
	root, err := output(ctx, "go", "env", "GOROOT")
	if err != nil {
		return "", err
	}
	if err := notice(&b, "The Go standard library, "+runtime.Version(), strings.TrimSpace(root)); err != nil {
		return "", err
	}
	folders, err := moduleFolders(ctx)
	if err != nil {
		return "", err
	}
	for _, m := range info.Deps {
		if m.Replace != nil {
			m = m.Replace
		}
		if err := notice(&b, m.Path+" "+m.Version, folders[m.Path]); err != nil {
			return "", err
		}
	}
	return b.String(), nil
}

// notice writes the licence files of a folder.
func notice(b *strings.Builder, title, folder string) error {
	entries, err := os.ReadDir(folder)
	if err != nil {
		return fmt.Errorf("the licence of %s: %w", title, err)
	}
	found := false
	for _, e := range entries {
		if e.IsDir() || !licence.MatchString(e.Name()) {
			continue
		}
		text, err := os.ReadFile(filepath.Join(folder, e.Name()))
		if err != nil {
			return err
		}
		found = true
		fmt.Fprintf(b, "\n%s\n%s: %s\n%s\n\n%s\n", strings.Repeat("=", 80), title, e.Name(), strings.Repeat("=", 80), bytes.TrimSpace(text))
	}
	if !found {
		return fmt.Errorf("%s has no file with its licence in %s", title, folder)
	}
	return nil
}

var licence = regexp.MustCompile(`(?i)^(licen[cs]e|copying|notice|patents|copyright)[^/]*$`)

// moduleFolders are where the sources of the modules are on this machine.
func moduleFolders(ctx context.Context) (map[string]string, error) {
	text, err := output(ctx, "go", "list", "-m", "-json", "all")
	if err != nil {
		return nil, err
	}
	folders := map[string]string{}
	list := json.NewDecoder(strings.NewReader(text))
	for {
		var m struct{ Path, Dir string }
		if err := list.Decode(&m); errors.Is(err, io.EOF) {
			return folders, nil
		} else if err != nil {
			return nil, err
		}
		folders[m.Path] = m.Dir
	}
}

func output(ctx context.Context, words ...string) (string, error) {
	out, err := exec.CommandContext(ctx, words[0], words[1:]...).Output()
	if err != nil {
		return "", fmt.Errorf("%s: %w", strings.Join(words, " "), err)
	}
	return string(out), nil
}
