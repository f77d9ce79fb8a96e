package main

import (
	"bytes"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// Whatever the program and its pages tell people to type is there: the page of the manual, the
// command, and its flags.
func TestWhatPeopleAreToldToTypeIsThere(t *testing.T) {
	page := regexp.MustCompile(`bayhand manual ([a-z][a-z-]*[a-z])`)
	command := regexp.MustCompile("`bayhand ([a-z][a-z-]*)([^`\n]*)`")
	flag := regexp.MustCompile(`--[a-z][a-z-]*`)
	seen := 0
	for _, file := range spoken(t) {
		src, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range page.FindAllStringSubmatch(string(src), -1) {
			seen++
			var out bytes.Buffer
			if newApp(strings.NewReader(""), &out, &out).run(t.Context(), []string{"manual", m[1]}) != int(done) {
				t.Errorf("%s: there is no page %s", file, m[1])
			}
		}
		for _, m := range command.FindAllStringSubmatch(string(src), -1) {
			seen++
			root := newApp(strings.NewReader(""), new(bytes.Buffer), new(bytes.Buffer)).root()
			c, _, err := root.Find(append([]string{m[1]}, strings.Fields(m[2])...))
			if err != nil || c == root {
				t.Errorf("%s: there is no command %s", file, m[0])
				continue
			}
			for _, f := range flag.FindAllString(m[2], -1) {
				if name := f[2:]; name != "help" && c.Flags().Lookup(name) == nil && c.InheritedFlags().Lookup(name) == nil {
					t.Errorf("%s: %s has no flag %s", file, m[0], f)
				}
			}
		}
	}
	if seen < 60 {
		t.Errorf("%d things to type: not a test", seen)
	}
}

// spoken are the files of what people read: sources, pages of the manual, and the page at the bay.
func spoken(t *testing.T) []string {
	var all []string
	err := filepath.WalkDir(filepath.Join("..", ".."), func(file string, e fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if e.IsDir() && slices.Contains([]string{".git", "testdata", "simulators"}, e.Name()) {
			return fs.SkipDir
		}
		if slices.Contains([]string{".go", ".md", ".html", ".js"}, filepath.Ext(file)) && !strings.HasSuffix(file, "_test.go") {
			all = append(all, file)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}
