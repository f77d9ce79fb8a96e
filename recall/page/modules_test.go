package page

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// imported finds what a module of the page imports.
var imported = regexp.MustCompile(`(?m)^(?:import|export) .*from "\./([^"]+)";`)

// No module of the page imports itself by way of others: each can be read after those that it
// needs.
func TestModulesImportOneWay(t *testing.T) {
	files, err := filepath.Glob("*.js")
	if err != nil {
		t.Fatal(err)
	}
	needs := map[string][]string{}
	count := 0
	for _, file := range files {
		src, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, found := range imported.FindAllStringSubmatch(string(src), -1) {
			if !slices.Contains(files, found[1]) {
				t.Errorf("%s imports %s, which is not there", file, found[1])
			}
			needs[file] = append(needs[file], found[1])
			count++
		}
		if n := len(regexp.MustCompile(`(?m)^\s*import\b`).FindAllString(string(src), -1)); n != len(needs[file]) {
			t.Errorf("%s has %d imports, of which %d are read", file, n, len(needs[file]))
		}
	}
	if count < 20 {
		t.Fatalf("%d imports were found", count)
	}
	var walk func(trail []string)
	walk = func(trail []string) {
		last := trail[len(trail)-1]
		if at := slices.Index(trail[:len(trail)-1], last); at >= 0 {
			if trail[0] == last && last == slices.Min(trail) { // told once
				t.Errorf("modules import each other: %s", strings.Join(trail, " -> "))
			}
			return
		}
		for _, next := range needs[last] {
			walk(append(slices.Clone(trail), next))
		}
	}
	for _, file := range files {
		walk([]string{file})
	}
}
