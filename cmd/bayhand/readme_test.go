package main

import (
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/spf13/cobra"
)

// The README's table of commands has each command of the program and no other, and each flag
// that it names is one of the command beside it.
func TestReadmeHasEachCommand(t *testing.T) {
	src, err := os.ReadFile(filepath.Join("..", "..", "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	_, table, _ := strings.Cut(string(src), "## The commands\n")
	table, _, _ = strings.Cut(table, "\n## ")
	root := newApp(nil, io.Discard, io.Discard).root()
	named := map[string]bool{}
	for line := range strings.Lines(table) {
		if !strings.HasPrefix(line, "| `") {
			continue
		}
		left, _, _ := strings.Cut(line[2:], " | ")
		var flags []*cobra.Command
		for _, quoted := range regexp.MustCompile("`([^`]+)`").FindAllStringSubmatch(left, -1) {
			words := strings.Fields(quoted[1])
			if len(flags) > 0 && flags[0].HasParent() && flags[0].Parent() != root {
				words = append([]string{flags[0].Parent().Name()}, words...) // service install, remove, status
			}
			c, _, err := root.Find(words)
			if err != nil || c == root {
				t.Errorf("there is no command %q", quoted[1])
				continue
			}
			flags = append(flags, c)
			for ; c != root; c = c.Parent() {
				named[c.Name()] = true
			}
		}
		for _, flag := range regexp.MustCompile("--([a-z][a-z-]*)").FindAllStringSubmatch(line, -1) {
			if !slices.ContainsFunc(flags, func(c *cobra.Command) bool {
				return c.Flags().Lookup(flag[1]) != nil || root.PersistentFlags().Lookup(flag[1]) != nil
			}) {
				t.Errorf("%s has no flag --%s", left, flag[1])
			}
		}
	}
	for _, c := range root.Commands() {
		if !c.Hidden && c.Name() != "help" && c.Name() != "completion" && !named[c.Name()] {
			t.Errorf("the README does not have %s", c.Name())
		}
	}
}
