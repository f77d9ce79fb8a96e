package page

import (
	"bytes"
	"errors"
	"net/url"
	"os"
	"strings"
	"testing"

	"bayhand/model/text"
	"bayhand/recall/keep"
)

// emptyFile is what a studio of one's own begins with.
func emptyFile(t *testing.T) []byte {
	t.Helper()
	src, err := os.ReadFile("../../cmd/bayhand/empty.yaml")
	if err != nil {
		t.Fatal(err)
	}
	return src
}

// The first start leads to a page on which a bay is drawn, gear is typed, both are
// wired, and the file is written with the comments that stood in it.
func TestDrawABayGetAFile(t *testing.T) {
	t.Parallel()
	axe, err := os.ReadFile("testdata/axe/axe.min.js")
	if err != nil {
		t.Fatal(err)
	}
	h := build(t, keep.Files{})
	h.laying = heron(t)
	file := emptyFile(t)
	h.draft = &Draft{File: "studio.yaml", Load: func() ([]byte, error) { return file, nil }, Save: func(was, now []byte) error {
		if !bytes.Equal(was, file) {
			return errors.New("the file was changed since")
		}
		file = now
		s, _, problems := text.ReadStudio("studio.yaml", now)
		if problems.Errors() {
			return problems
		}
		h.furnish(keep.Files{Studio: s})
		h.look()
		return nil
	}}
	h.look()
	v := visit(t, desktop)
	v.open(h, "/")
	v.leaves(func() { v.click("#to-draw") })
	add := func(act string, fields map[string]string) {
		v.leaves(func() {
			for id, value := range fields {
				v.js(`document.getElementById("` + id + `").value = "` + value + `"`)
			}
			v.click("#act-" + act)
		})
	}
	add("bay", map[string]string{"bay": "main", "pairs": "8", "modes": "half-normal", "kind": "bantam"})
	add("gear", map[string]string{"gear": "interface", "label": "Interface", "outs": "4", "ins": "4"})
	v.click(`[data-jack="main/t1"]`)
	add("wire", map[string]string{"port": "interface/out1", "many": "4"})
	add("wire", map[string]string{"jack": "main/b1", "port": "interface/in1", "many": "4"})
	add("mode", map[string]string{"jack": "main/t5", "many": "4", "mode": "isolated"})
	v.until(`document.querySelector("#bays .strip")?.textContent.includes("Interface out")`)
	for _, found := range v.violations(string(axe), true) {
		t.Error(found)
	}
	v.shoot("draw")
	// What is typed is judged beside it, and a text with errors is not written.
	v.js(`{ const e = document.querySelector("#text"); e.value = e.value.replace("pairs: 8", "pears: 8"); e.dispatchEvent(new Event("input", {bubbles: true})); }`)
	v.until(`document.querySelector("#findings").innerText.includes("Errors: mend these first")`)
	v.js(`{ const e = document.querySelector("#text"); e.value = e.value.replace("pears: 8", "pairs: 8"); e.dispatchEvent(new Event("input", {bubbles: true})); }`)
	v.until(`!document.querySelector("#findings").innerText.includes("Errors")`)
	v.leaves(func() { v.click("#act-save") })
	v.click("#to-the-bay")
	v.until(`document.querySelectorAll("[data-jack]").length === 16`)
	for _, want := range []string{"# A studio of your own.", "interface/out1-4 -> main/t1-4", "main/b1-4 -> interface/in1-4", "1-4: half-normal, 5-8: isolated"} {
		if !strings.Contains(string(file), want) {
			t.Errorf("the file lacks %q:\n%s", want, file)
		}
	}
	v.calm()
}

// An act that cannot be leaves the draft as it was, and says why.
func TestDraftRefuses(t *testing.T) {
	d := readDraft([]byte("studio: A\ngear:\n  desk:\n    inputs: {in1-2: pro-line} # two\nbays:\n  main: {pairs: 2, modes: {1-2: isolated}}\n"))
	if d.wrong.Errors() {
		t.Fatal(d.wrong)
	}
	for act, form := range map[string]url.Values{
		"gear": {"gear": {"desk"}, "outs": {"2"}, "line": {"pro-line"}},
		"bay":  {"bay": {"side"}, "pairs": {"2"}, "kind": {"bantam: {"}, "modes": {"normal"}},
		"wire": {"port": {"desk/in1"}, "jack": {"main/t9"}},
		"mode": {"jack": {"main/t1"}, "mode": {"half"}},
	} {
		then, err := d.do(act, form)
		if err == nil || !bytes.Equal(then.src, d.src) {
			t.Errorf("%s with %v: %v", act, form, err)
		}
	}
	then, err := d.do("gear", url.Values{"gear": {"tape"}, "outs": {"2"}, "line": {"pro-line"}})
	if err != nil || !strings.Contains(string(then.src), "# two\n  tape:\n    outputs: {out1-2: pro-line}\nbays:") {
		t.Errorf("with gear it is %v\n%s", err, then.src)
	}
}
