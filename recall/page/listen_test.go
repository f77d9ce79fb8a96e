package page

import (
	"context"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/model/text"
	"bayhand/recall/keep"
	"bayhand/recall/listen"
	"bayhand/recall/serve"
	"bayhand/simulators/contacts"
	"bayhand/simulators/sound"
)

const earRoom = `studio: Small
gear:
  interface: {outputs: {out1-5: pro-line}, inputs: {in1-4: pro-line}, sound: {link: files}}
  squeeze: {channels: 1, line: pro-line}
  speakers: {inputs: {in1: pro-line}, role: loudspeaker}
bays:
  main: {pairs: 12, modes: isolated, jack: bantam}
wiring:
  - interface/out1-4 -> main/t1-4
  - main/b1-4 -> interface/in1-4
  - squeeze/out1 -> main/t5
  - main/b5 -> squeeze/in1
  - interface/out5 -> speakers/in1
`

// earHouse is a house whose sound device is simulated, in a room that may be
// patched otherwise than it is known to be.
type earHouse struct {
	*house
	// mu guards the fields below.
	mu   sync.Mutex
	real patch.Patch
	// faults are those of its cords.
	faults []contacts.Fault
	// hold, where it is not nil, is waited for in the middle of the sound.
	hold chan struct{}
	// played is told of each measurement that came to its end, or did not.
	played chan error
}

func newEarHouse(t testing.TB) *earHouse { return newEarHouseOf(t, earRoom) }

func newEarHouseOf(t testing.TB, src string) *earHouse {
	t.Helper()
	s, _, problems := text.ReadStudio("studio.yaml", []byte(src))
	if problems.Errors() {
		t.Fatal(problems)
	}
	h := &earHouse{house: build(t, keep.Files{Studio: s, Sessions: map[string]*session.Session{}}), played: make(chan error, 8)}
	h.ears = NewEars(h.prepare, h.sound, h.changes.Tell)
	h.look()
	return h
}

func (h *earHouse) prepare(_ context.Context, s keep.Status) (*listen.Plan, error) {
	told, none := s.Known.Patch(), &session.Session{Program: -1}
	return listen.Prepare(listen.Request{Room: heard.NewRoom(h.load().Studio).For(none, told), Session: none, Patch: told, OfRoom: true})
}

func (h *earHouse) sound(ctx context.Context, l *listen.Plan, progress func(listen.Progress)) (*listen.Answer, error) {
	began := time.Now()
	h.mu.Lock()
	room := &sound.Room{Studio: h.load().Studio, States: []sound.State{{Patch: h.real, Faults: h.faults}}, Device: sound.Device{Noise: -100, Bits: 24, Late: 777}}
	hold := h.hold
	h.mu.Unlock()
	for _, c := range l.Device.Sound.Outputs {
		room.Outputs = append(room.Outputs, c.Port)
	}
	for _, c := range l.Device.Sound.Inputs {
		room.Inputs = append(room.Inputs, c.Port)
	}
	open := func(string, listen.Format) (listen.Device, error) { return room.Play() }
	a, err := l.Measure(ctx, open, listen.Way{Progress: func(p listen.Progress) {
		progress(p)
		if hold != nil && p.Done > 2 {
			select {
			case <-hold:
			case <-ctx.Done():
			}
		}
	}})
	if err == nil {
		err = a.Tell(ctx, h.keeper, began, time.Now())
	}
	h.played <- err
	return a, err
}

// plugged says by hand what is in the bay, and patches the real room.
func (h *earHouse) plugged(real patch.Patch, told ...[2]string) {
	h.t.Helper()
	for _, c := range told {
		ends := at(h.t, c[0], c[1])
		if _, err := h.keeper.Act(context.Background(), keep.Act{Do: keep.Plugged, A: ends[0], B: ends[1]}); err != nil {
			h.t.Fatal(err)
		}
	}
	h.patch(real)
}

func (h *earHouse) patch(real patch.Patch) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.real = real
}

func (h *earHouse) holds(hold chan struct{}) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.hold = hold
}

func cordsBetween(pairs ...[2]int) (p patch.Patch) {
	for _, c := range pairs {
		p.Cords = append(p.Cords, patch.Cord{A: name.At("main", "t", c[0]), B: name.At("main", "b", c[1])})
	}
	return p
}

// Where no gear is the sound device, the page says what to write and where.
func TestListenWithoutSound(t *testing.T) {
	h := New(Options{Room: &fake{status: status(t)}, Studio: heron(t).Studio, Draft: &Draft{File: "heron/studio.yaml"}})
	answer, html := get(t, h, "/listen")
	for _, want := range []string{"heron/studio.yaml", "  interface:\n    sound: {link: files}", "bayhand links", "bayhand manual verify"} {
		if answer.StatusCode != http.StatusOK || !strings.Contains(html, want) {
			t.Errorf("%s, and it does not say %q", answer.Status, want)
		}
	}
	// What it says to write can be read.
	file, err := os.ReadFile("../../cmd/bayhand/demo/heron/studio.yaml")
	if err != nil {
		t.Fatal(err)
	}
	with := strings.Replace(string(file), "  interface:\n", "  interface:\n    sound: {link: files}\n", 1)
	if s, _, problems := text.ReadStudio("studio.yaml", []byte(with)); problems.Errors() || with == string(file) || s.Gear[0].Sound == nil && s.Gear[1].Sound == nil {
		t.Errorf("what is written is not read: %v", problems)
	}
	r := httptest.NewRequest(http.MethodPost, "/listen", strings.NewReader("token="+token+"&ready=yes"))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	if answer, html := ask(t, h, r); answer.StatusCode != http.StatusConflict || !strings.Contains(html, "no sound device") {
		t.Errorf("listening without one answers %s", answer.Status)
	}
}

// Whoever listens is told first what will sound and what may not; two cords that are
// swapped are named with the bay lit at the place; mended, they are found right and
// become measured, and what no sound shows is left for the ear.
func TestListenToTheRoom(t *testing.T) {
	t.Parallel()
	axe, err := os.ReadFile("testdata/axe/axe.min.js")
	if err != nil {
		t.Fatal(err)
	}
	h := newEarHouse(t)
	told := [][2]string{{"main/t2", "main/b1"}, {"main/t3", "main/b3"}, {"main/t9", "main/b10"}}
	h.plugged(cordsBetween([2]int{3, 1}, [2]int{2, 3}, [2]int{9, 10}), told...)
	v := visit(t, desktop)
	v.open(h.house, "/")
	v.leaves(func() { v.click(`nav a[href="/listen"]`) })
	for selector, wanted := range map[string]string{
		"#ear-cautions": "headphones off the ears", "#would-play": "4 outputs of interface", "#would-spare": "speakers in 1",
		"#would-see": "2 of 3 cords would be seen", "#left-out": "1 left out", "#would-unseen": "1 not to be heard",
	} {
		if said := v.text(selector); !strings.Contains(said, wanted) {
			t.Errorf("%s says %q, and not %q", selector, said, wanted)
		}
	}
	v.shoot("listen")
	v.click("#listen-now")
	if v.text("#heard-title") != "" || len(h.played) > 0 {
		t.Fatal("it was listened to before anybody said that it may")
	}
	v.click("#listen-now-ready")
	v.click("#listen-now")
	v.until(`document.querySelector("#finding-title")`)
	if said := v.text("#finding-text"); !strings.Contains(said, "are swapped") {
		t.Errorf("the finding is %q", said)
	}
	lit := `document.querySelectorAll("#finding .closes [data-close='main/b1'] .ring, #finding .closes [data-close='main/b3'] .ring").length === 2`
	v.until(lit)
	v.shoot("listen-found")
	small := visit(t, phone)
	small.open(h.house, "/listen")
	small.until(lit)
	small.shoot("listen-found-phone")
	small.js(`scrollTo(0, document.body.scrollHeight)`)
	small.until(`((last) => last.contains(document.elementFromPoint(...((r) => [r.x + r.width / 2, r.y + r.height / 2])(last.getBoundingClientRect()))))(document.querySelector(".foot p a"))`)
	for _, what := range v.violations(string(axe), false) {
		t.Error(what)
	}
	h.patch(cordsBetween([2]int{2, 1}, [2]int{3, 3}, [2]int{9, 10}))
	v.click("#listen-again")
	v.until(`document.querySelector(".heard.right")`)
	if said := v.text("#heard-measured"); !strings.Contains(said, "main 2 top") {
		t.Errorf("measured are %q", said)
	}
	for _, c := range h.status().Known.Cords {
		if want := c.A != name.At("main", "t", 9); (c.How == keep.Measured) != want {
			t.Errorf("%v is %s", c.Cord, c.How)
		}
	}
	if said := v.text("#by-ear"); !strings.Contains(said, "main 9 top - main 10 bottom") {
		t.Errorf("for the ear: %q", said)
	}
	v.click(`[id="ear-main/t9"]`)
	v.until(`document.querySelector(".ear-done")`)
	v.open(h.house, "/")
	v.until(`document.querySelector("#listen-next")`)
	v.open(h.house, "/listen")
	v.shoot("listen-right")
	v.calm()
}

// While it sounds the largest thing is the way to stop it, from the first moment: styles
// are no part of what is put in the place of the view before. It is stopped by the button,
// by Escape, by space, from another screen, and by closing the page where it was begun.
func TestStopTheSound(t *testing.T) {
	t.Parallel()
	h := newEarHouse(t)
	h.plugged(cordsBetween([2]int{2, 1}), [2]string{"main/t2", "main/b1"})
	v, other := visit(t, desktop), visit(t, phone)
	other.open(h.house, "/listen")
	hold := make(chan struct{})
	defer close(hold)
	stops := map[string]func(){
		"the button":     func() { v.click("#silence") },
		"Escape":         func() { v.run(chromedp.KeyEvent(kb.Escape)) },
		"space":          func() { v.run(chromedp.KeyEvent(" ")) },
		"another screen": func() { other.until(`document.querySelector("#silence")`); other.click("#silence") },
		"a closed page":  func() { v.open(h.house, "/sessions") },
	}
	for how, stop := range stops {
		h.holds(hold) // only a stop ends it
		v.open(h.house, "/listen")
		v.click("#listen-now-ready")
		v.click("#listen-now")
		v.until(`document.querySelector("#sounding-says")?.innerText.includes("of")`)
		v.until(`document.querySelector("#silence").getBoundingClientRect().height >= 150 && !document.querySelector("#room link")`)
		if how == "another screen" {
			other.until(`document.querySelector("#silence").getBoundingClientRect().height >= 150`)
			other.shoot("listen-sounds-phone")
		}
		if how == "the button" {
			v.shoot("listen-sounds")
		}
		stop()
		select {
		case err := <-h.played:
			if err == nil {
				t.Errorf("%s: the sound came to its end", how)
			}
		case <-time.After(patience):
			t.Fatalf("%s: the sound was not stopped", how)
		}
		other.until(`document.querySelector("#ears-failed")?.innerText.includes("It was stopped")`)
	}
	other.shoot("listen-stopped-phone")
}

// Who may only tick may stop the sound, and begin none; without a word that all is
// down there is none either.
func TestWhoMayListen(t *testing.T) {
	h := newEarHouse(t)
	post := func(path, body string) int {
		t.Helper()
		r := httptest.NewRequest(http.MethodPost, path, strings.NewReader(body))
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		answer, _ := ask(t, h, r)
		return answer.StatusCode
	}
	if code := post("/listen", "token="+token); code != http.StatusBadRequest {
		t.Errorf("without a word that all is down: %d", code)
	}
	if code := post("/listen", "ready=yes"); code != http.StatusForbidden {
		t.Errorf("without a token: %d", code)
	}
	if len(h.played) > 0 {
		t.Error("it sounded")
	}
	v := visit(t, phone)
	v.letIn(h.house, serve.Tick)
	v.open(h.house, "/listen")
	v.until(`!document.querySelector("#listen-now") && document.querySelector("#would-play")`)
}

// In a studio whose cords are numbered whoever follows a jack can report the number on
// its cord; what is found at fault with the cord itself says which cord it is.
func TestNumberedCordOnThePage(t *testing.T) {
	h := newEarHouseOf(t, `studio: Two cords
gear:
  interface: {outputs: {out1: pro-line}, inputs: {in1: pro-line}, sound: {link: files}}
bays:
  main: {pairs: 2, modes: isolated}
wiring: [interface/out1 -> main/t1, main/b1 -> interface/in1]
cords: {numbered: 1-24}
`)
	one := cordsBetween([2]int{1, 1})
	h.plugged(one, [2]string{"main/t1", "main/b1"})
	h.faults = []contacts.Fault{{Cord: one.Cords[0], Reversed: true}}
	send := func(path, body string) int {
		t.Helper()
		r := httptest.NewRequest(http.MethodPost, path, strings.NewReader(body+"&token="+token))
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		answer, _ := ask(t, h, r)
		return answer.StatusCode
	}
	look := func(path string) string {
		t.Helper()
		_, text := ask(t, h, httptest.NewRequest(http.MethodGet, path, nil))
		return text
	}
	if at := look("/?at=main/t1"); !strings.Contains(at, `max="24"`) {
		t.Errorf("no form for the number:\n%s", at)
	}
	for body, want := range map[string]int{"number=25": http.StatusConflict, "number=x": http.StatusBadRequest, "number=": http.StatusBadRequest, "number=7": http.StatusSeeOther} {
		if code := send("/do", "do=number&a=main/t1&b=main/b1&"+body); code != want {
			t.Errorf("%s: %d, not %d", body, code, want)
		}
	}
	if at := look("/?at=main/t1"); !strings.Contains(at, ", number 7") || !strings.Contains(at, "no. 7") {
		t.Errorf("the number is not shown:\n%s", at)
	}
	if code := send("/listen", "ready=yes"); code != http.StatusSeeOther {
		t.Fatalf("listening: %d", code)
	}
	if heard := look("/listen"); !strings.Contains(heard, "It is cord 7") {
		t.Errorf("the cord is not named:\n%s", heard)
	}
}
