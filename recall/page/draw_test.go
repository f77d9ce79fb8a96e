package page

import (
	"bytes"
	"errors"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"bayhand/model/studio"
	"bayhand/model/text"
	"bayhand/recall/keep"
	"bayhand/recall/web"
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
	looks(t)
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
		v.drawn(func() {
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
	wiredByHand(t, v)
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
	v.until(`location.pathname === "/files"`)
	v.click("#to-the-bay")
	v.until(`document.querySelectorAll("[data-jack]").length === 16`)
	for _, want := range []string{"# A studio of your own.", "interface/out1-4 -> main/t1-4", "main/b1-4 -> interface/in1-4", "1-4: half-normal, 5-8: isolated"} {
		if !strings.Contains(string(file), want) {
			t.Errorf("the file lacks %q:\n%s", want, file)
		}
	}
	v.calm()
}

// drawn does what changes the draft, and waits until it is changed.
func (v *visitor) drawn(do func()) {
	v.t.Helper()
	was := v.value(`document.querySelector("#text").value`)
	v.js("window.stays = true")
	do()
	v.until(fmt.Sprintf(`document.querySelector("#text").value !== %q`, was))
	v.until("window.stays")
}

// wiredByHand drags a port to a jack and a jack to a jack, wires by keys, and undoes it.
func wiredByHand(t *testing.T, v *visitor) {
	t.Helper()
	before := v.value(`document.querySelector("#text").value`)
	text := func() string { return v.value(`document.querySelector("#text").value`) }
	v.drawn(func() { v.click("#draw-undo") })
	v.until(`document.querySelectorAll(".to-wire button").length === 4`)
	v.js(`document.querySelector("#many").value = ""`)
	v.drawn(func() { v.drag(`[data-port="interface/in2"]`, `[data-jack="main/b8"]`) })
	if !strings.Contains(text(), "main/b8 -> interface/in2") {
		t.Errorf("dragged, the file has\n%s", text())
	}
	v.until(`document.querySelectorAll(".to-wire button").length === 3`)
	v.drawn(func() { v.drag(`[data-jack="main/t7"]`, `[data-jack="main/b6"]`) })
	if !strings.Contains(text(), "ties:\n  - main/t7 = main/b6") {
		t.Errorf("tied, the file has\n%s", text())
	}
	v.shoot("draw-wired")
	v.js(`document.querySelector('[data-port="interface/in3"]').focus()`)
	v.run(chromedp.KeyEvent(kb.Enter))
	v.until(`document.querySelector('[data-port="interface/in3"]').ariaPressed === "true"`)
	v.js(`document.querySelector('[data-jack="main/b7"]').focus()`)
	v.drawn(func() { v.run(chromedp.KeyEvent(kb.Enter)) })
	for range 3 {
		v.drawn(func() { v.click("#draw-undo") })
	}
	v.until(`document.querySelectorAll(".to-wire button").length === 4`)
	v.js(`{ const e = document.querySelector("#text"); e.value = ` + strconv.Quote(before) + `; e.dispatchEvent(new Event("input", {bubbles: true})); }`)
	v.until(`document.querySelectorAll(".to-wire button").length === 0`)
}

// Nothing that was typed is lost: not to a text that is too large, not to a daemon that
// is away or was started again, not to a file that somebody else changed.
func TestDraftIsNotLost(t *testing.T) {
	t.Parallel()
	h := build(t, heron(t))
	src := []byte("studio: A\r\nbays:\r\n  main: {pairs: 2, modes: {1-2: isolated}} # two\r\n")
	var mu sync.Mutex
	file, saved := src, []byte(nil)
	h.draft = &Draft{File: "studio.yaml", Load: func() ([]byte, error) { mu.Lock(); defer mu.Unlock(); return file, nil }, Save: func(_, now []byte) error {
		mu.Lock()
		defer mu.Unlock()
		file, saved = now, now
		return nil
	}}
	h.look()
	v := visit(t, desktop)
	v.open(h, "/draw")
	typed := func(text string) { v.js(`document.querySelector("#text").value = ` + text) }
	stands := func(when, said string, size int) {
		t.Helper()
		v.until(fmt.Sprintf(`!document.querySelector("#refused").hidden && document.querySelector("#refused").innerText.includes(%q)`, said))
		if n := v.value(`document.querySelector("#text").value.length + ""`); n != strconv.Itoa(size) {
			t.Errorf("%s: of %d letters %s are left", when, size, n)
		}
	}
	typed(`("# " + "é".repeat(500) + "\n").repeat(1100)`)
	v.click("#act-save")
	stands("too large", "larger than 1024 KiB", 503*1100)
	const mine = "studio: B\nbays:\n  main: {pairs: 2, modes: {1-2: isolated}} # two\n"
	const size = len(mine)
	typed(strconv.Quote(mine))
	h.stop()
	v.click("#act-save")
	stands("away", "does not answer", size)
	h.open()
	mu.Lock()
	file = append([]byte("# of another\r\n"), src...)
	mu.Unlock()
	v.click("#act-save")
	stands("changed by another", "was changed since", size)
	if saved != nil {
		t.Errorf("written is %q", saved)
	}
	mu.Lock()
	file = src
	mu.Unlock()
	v.leaves(func() { v.click("#act-save") })
	if want := "studio: B\r\nbays:\r\n  main: {pairs: 2, modes: {1-2: isolated}} # two\r\n"; string(saved) != want {
		t.Errorf("written is %q", saved)
	}
}

// A form that is larger than what is taken is answered in words, and a large room is
// drawn bay by bay.
func TestDrawLarge(t *testing.T) {
	var src strings.Builder
	src.WriteString("studio: Large\ngear:\n  wall: {outputs: {out1-300: pro-line}}\nbays:\n")
	for n := range 40 {
		fmt.Fprintf(&src, "  bay%d: {pairs: 48, modes: {1-48: isolated}}\n", n+1)
	}
	p := newPage(Options{Room: &fake{status: status(t)}, Studio: &studio.Studio{}, Draft: &Draft{File: "studio.yaml", Load: func() ([]byte, error) { return []byte(src.String()), nil }}})
	ask := func(values url.Values) *httptest.ResponseRecorder {
		r := httptest.NewRequest(http.MethodPost, "/draw", strings.NewReader(values.Encode()))
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Header.Set(web.TokenHeader, "t")
		w := httptest.NewRecorder()
		p.routes().ServeHTTP(w, r)
		return w
	}
	if w := ask(url.Values{"token": {"t"}, "text": {strings.Repeat("#\n", 2<<20)}}); w.Code != http.StatusRequestEntityTooLarge || !contains(w.Body.String(), "larger than 1024 KiB", "nothing was written") {
		t.Errorf("too large is answered with %d: %.300s", w.Code, w.Body)
	}
	w := ask(url.Values{"token": {"t"}, "act": {"look"}, "text": {src.String()}, "show": {"bay7"}})
	if text := w.Body.String(); w.Code != http.StatusOK || !contains(text, `data-jack="bay7/t48"`, "And more, which stand here") || strings.Contains(text, `data-jack="bay1/t1"`) || strings.Count(text, "data-port=") != mostUnwired {
		t.Errorf("a large room is answered with %d and %d bytes", w.Code, len(text))
	}
	if w.Body.Len() > 400_000 {
		t.Errorf("a look takes %d bytes", w.Body.Len())
	}
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
		"tie":  {"jack": {"main/t1"}, "to": {"main/t9"}},
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
