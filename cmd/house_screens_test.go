package cmd_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// commandLine is what a person at a keyboard types: a command in quotes or after the program's
// name, or a flag.
var commandLine = regexp.MustCompile("`[a-z]|\\bbayhand [a-z-]+( [A-Z]+)?[`,.;)]|(^|[ (])--[a-z]")

// What the keeper says of the room comes to phones and wall screens too: it tells what to do,
// and the command line adds its commands.
func TestMessagesQuoteNoCommandLine(t *testing.T) {
	files, err := filepath.Glob(filepath.Join("..", "recall", "keep", "*.go"))
	if err != nil || len(files) < 50 {
		t.Fatal(len(files), err)
	}
	for _, file := range files {
		if strings.HasSuffix(file, "_test.go") {
			continue
		}
		src, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, text := range quoting(t, file, src) {
			t.Errorf("%s quotes the command line: %s", file, text)
		}
	}
}

// What is looked for is found.
func TestQuotedCommandLinesAreFound(t *testing.T) {
	for text, want := range map[string]bool{
		"Report any other cords with `plug`.":                  true,
		"strip the room again (`bayhand strip --now`), and":    true,
		"Report changes, then bayhand still.":                  true,
		"recall %s with --instead":                             true,
		"Report any other cords that are in.":                  false,
		"bayhand was off for a while. Is the bay still: %s?":   false,
		"Retrying. bayhand stopped restoring it, until -- now": false,
	} {
		found := quoting(t, "some.go", []byte("package some\nvar text = "+strconv.Quote(text)+"\n"))
		if len(found) > 0 != want {
			t.Errorf("%q quotes the command line: %v", text, found)
		}
	}
}

// quoting are the texts of a file that quote the command line.
func quoting(t *testing.T, file string, src []byte) (all []string) {
	t.Helper()
	parsed, err := parser.ParseFile(token.NewFileSet(), file, src, 0)
	if err != nil {
		t.Fatal(err)
	}
	ast.Inspect(parsed, func(n ast.Node) bool {
		if field, ok := n.(*ast.Field); ok {
			field.Tag = nil // no text that is read
		}
		if lit, ok := n.(*ast.BasicLit); ok && lit.Kind == token.STRING {
			if text, err := strconv.Unquote(lit.Value); err == nil && commandLine.MatchString(text) {
				all = append(all, text)
			}
		}
		return true
	})
	return all
}
