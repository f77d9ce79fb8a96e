package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"maps"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"bayhand/model/text"

	"github.com/adrg/xdg"
	"github.com/google/go-cmp/cmp"
)

var update = flag.Bool("update", false, "write the output of commands into the pages that show it")

// TestManual runs every example of the manual.
func TestManual(t *testing.T) {
	for _, name := range pageNames() {
		if name == keysName {
			continue // it is made, and has no examples
		}
		t.Run(name, func(t *testing.T) { runPage(t, filepath.Join("manual", name+".md")) })
	}
}

// TestReadme runs every example of the file that people read first.
func TestReadme(t *testing.T) { runPage(t, filepath.Join("..", "..", "README.md")) }

// TestReadmeBeginsWithWhatIsPrinted holds the listing at its top to the example further down.
func TestReadmeBeginsWithWhatIsPrinted(t *testing.T) {
	src, err := os.ReadFile(filepath.Join("..", "..", "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	_, rest, begun := strings.Cut(string(src), "```\n$ bayhand recall voice\n")
	listing, rest, ended := strings.Cut(rest, "```")
	if !begun || !ended || strings.Count(listing, "plug") != 2 {
		t.Fatalf("at the top stands %q", listing)
	}
	_, example, _ := strings.Cut(rest, "```console\n$ bayhand recall voice\n")
	if example, _, _ = strings.Cut(example, "$ bayhand done"); !strings.Contains(example, listing) {
		t.Errorf("the command does not print this:\n%s\nit prints:\n%s", listing, example)
	}
}

// TestManualHasNoOtherPages finds pages that nobody would be shown.
func TestManualHasNoOtherPages(t *testing.T) {
	found, err := filepath.Glob("manual/*.md")
	if err != nil {
		t.Fatal(err)
	}
	if names := len(pageNames()) - 1; len(found) != names { // keys has no file
		t.Errorf("there are %d pages and %d names of pages", len(found), names)
	}
}

// TestPagesSayWhomTheyAreFor holds each page to its first paragraph: whom it is for, and
// what they have afterwards.
func TestPagesSayWhomTheyAreFor(t *testing.T) {
	for _, name := range pageNames() {
		page, err := pageText(name)
		if err != nil {
			t.Fatal(err)
		}
		paragraphs := strings.SplitN(page, "\n\n", 3)
		if first := paragraphs[1]; !strings.HasPrefix(first, "For ") || !strings.Contains(strings.ReplaceAll(first, "\n", " "), ". Afterwards ") {
			t.Errorf("%s begins with %q, and not with whom it is for and what they have afterwards", name, first)
		}
	}
}

// runPage lays out the files that a page shows and runs its commands, in the
// order of the page.
func runPage(t *testing.T, file string) {
	file, err := filepath.Abs(file)
	if err != nil {
		t.Fatal(err)
	}
	src, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	t.Setenv("XDG_STATE_HOME", t.TempDir())
	xdg.Reload()
	t.Chdir(t.TempDir())
	r := &bookReader{t: t, port: freePort(t)}
	got := r.read(string(src))
	showsWhatIsPrinted(t, file, string(src), got)
}

// showsWhatIsPrinted holds a page against itself with what its commands print in place of
// what they printed; -update writes that.
func showsWhatIsPrinted(t *testing.T, file, page, got string) {
	t.Helper()
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if diff := cmp.Diff(page, got); diff != "" {
		t.Errorf("the page shows something else than the commands print (-page +printed):\n%s", diff)
	}
}

// exampleAddress is the address in the pages; the test takes a port that is
// free instead.
const exampleAddress = "127.0.0.1:5025"

func freePort(t *testing.T) string {
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer listener.Close()
	return listener.Addr().String()
}

// bookReader does what a bookReader of a page would do.
type bookReader struct {
	t    *testing.T
	port string
}

// read carries out the page and returns it as it should be.
func (r *bookReader) read(page string) string {
	var out strings.Builder
	blocks := strings.Split(page, "```")
	for i, block := range blocks {
		if i > 0 {
			out.WriteString("```")
		}
		info, body, _ := strings.Cut(block, "\n")
		switch name, isFile := strings.CutPrefix(info, "yaml file="); {
		case i%2 == 1 && isFile:
			r.lay(name, body)
			out.WriteString(block)
		case i%2 == 1 && info == "console":
			out.WriteString(info + "\n" + r.console(body))
		case i%2 == 1 && info == "console stays":
			r.background(body)
			out.WriteString(block)
		default:
			out.WriteString(block)
		}
	}
	return out.String()
}

func (r *bookReader) lay(name, body string) {
	if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
		r.t.Fatal(err)
	}
	if err := errors.Join(os.WriteFile(name, []byte(r.here(body)), 0o644), savedLongAgo(name)); err != nil {
		r.t.Fatal(err)
	}
}

func (r *bookReader) here(text string) string {
	return strings.ReplaceAll(text, exampleAddress, r.port)
}
func (r *bookReader) there(text string) string {
	return strings.ReplaceAll(text, r.port, exampleAddress)
}

// console runs the commands of a block and returns the block with what they
// print.
func (r *bookReader) console(body string) string {
	var out strings.Builder
	for _, shown := range strings.Split("\n"+body, "\n$ bayhand ")[1:] {
		command, old, _ := strings.Cut(shown, "\n")
		printed, status := r.run(strings.Fields(r.here(command)))
		printed = r.there(printed)
		if status != 0 {
			printed += fmt.Sprintf("(exit status %d)\n", status)
		}
		fmt.Fprintf(&out, "$ bayhand %s\n%s", command, shortened(printed, strings.TrimSuffix(old, "\n")+"\n"))
	}
	return out.String()
}

// leftOut is the line of a page that stands for any number of printed lines.
const leftOut = "...\n"

// shortened is what a page shows of what was printed: with lines left out where the
// page has left them out, and all that it does show is printed, in that order.
func shortened(printed, old string) string {
	parts := strings.Split("\n"+old, "\n"+leftOut)
	if len(parts) == 1 {
		return printed
	}
	rest, ok := strings.CutPrefix("\n"+printed, parts[0]+"\n")
	for _, part := range parts[1 : len(parts)-1] {
		var whole bool
		_, rest, whole = strings.Cut("\n"+rest, "\n"+part+"\n")
		ok = ok && whole
	}
	if ok && strings.HasSuffix("\n"+rest, "\n"+parts[len(parts)-1]) {
		return old
	}
	return printed
}

// run carries out one command.
func (r *bookReader) run(args []string) (printed string, status int) {
	var out bytes.Buffer
	file, err := plain()
	switch {
	case err != nil:
		r.t.Fatal(err)
	case file != "":
		c := exec.CommandContext(r.t.Context(), file, args...)
		c.Stdout, c.Stderr = &out, &out
		if err := c.Run(); c.ProcessState == nil {
			r.t.Fatal(err)
		}
		return out.String(), c.ProcessState.ExitCode()
	}
	status = newApp(strings.NewReader(""), &out, &out).run(r.t.Context(), args)
	return out.String(), status
}

// background runs the one command of a block until the test ends; it returns
// once the command has said that it is ready.
func (r *bookReader) background(body string) {
	command, ok := strings.CutPrefix(strings.SplitN(body, "\n", 2)[0], "$ bayhand ")
	if !ok {
		r.t.Fatalf("a block that stays has no command: %q", body)
	}
	ctx, stop := context.WithCancel(context.Background())
	out, in := io.Pipe()
	ended := make(chan int, 1)
	go func() {
		a := newApp(strings.NewReader(""), in, in)
		ended <- a.run(ctx, strings.Fields(r.here(command)))
		in.Close()
	}()
	ready := make([]byte, 1)
	if _, err := out.Read(ready); err != nil {
		r.t.Fatalf("%s ended at once: %v", command, err)
	}
	go io.Copy(io.Discard, out)
	r.t.Cleanup(func() {
		stop()
		if status := <-ended; status != 0 {
			r.t.Errorf("%s: exit status %d", command, status)
		}
	})
}

// A page may leave lines out, and shows nothing that is not printed.
func TestPagesLeaveLinesOut(t *testing.T) {
	const printed = "one\ntwo\nthree\nfour\nfive\n"
	for _, old := range []string{"one\n...\nfive\n", "...\nfour\nfive\n", "one\n...\nthree\n...\nfive\n", "one\ntwo\n...\n"} {
		if got := shortened(printed, old); got != old {
			t.Errorf("%q became %q", old, got)
		}
	}
	for _, old := range []string{"one\n...\nsix\n", "zero\n...\nfive\n", "one\n...\nseven\n...\nfive\n", "one\nthree\n...\nfive\n", "one\n"} {
		if got := shortened(printed, old); got != printed {
			t.Errorf("%q became %q", old, got)
		}
	}
}

// The page of keys has the keys of each kind of file that has a schema.
func TestKeysOfEachKind(t *testing.T) {
	page := keysPage()
	for _, kind := range text.Kinds() {
		var schema struct {
			Properties map[string]any `json:"properties"`
			Defs       map[string]struct {
				Properties map[string]any `json:"properties"`
			} `json:"$defs"`
		}
		if err := json.Unmarshal(text.Schema(kind), &schema); err != nil {
			t.Fatal(err)
		}
		keys := slices.Collect(maps.Keys(schema.Properties))
		for _, of := range schema.Defs {
			keys = slices.AppendSeq(keys, maps.Keys(of.Properties))
		}
		if len(keys) == 0 {
			t.Errorf("the schema of %s has no key", kind)
		}
		for _, key := range keys {
			passedOver := kind == "patch" && slices.Contains([]string{"steps", "given", "least", "moves", "loses", "stopped"}, key)
			if !strings.Contains(page, "    "+key+":") && !strings.Contains(page, "    "+key+"*:") && !passedOver {
				t.Errorf("the page of keys lacks %s of %s", key, kind)
			}
		}
	}
}
