package page

import (
	"fmt"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	browsed "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"bayhand/model/name"
	"bayhand/model/session"
	"bayhand/model/text"
	"bayhand/recall/keep"
)

// written reads a studio and sessions from texts.
func written(t testing.TB, studio string, sessions map[string]string) keep.Files {
	t.Helper()
	s, _, problems := text.ReadStudio("studio.yaml", []byte(studio))
	if problems.Errors() {
		t.Fatal(problems)
	}
	files := keep.Files{Studio: s, Sessions: map[string]*session.Session{}}
	for called, src := range sessions {
		read, _, problems := text.ReadSession(called+".yaml", []byte(src), s, nil)
		if problems.Errors() {
			t.Fatal(problems)
		}
		files.Sessions[called] = read
	}
	return files
}

// A cord from one bay to another is drawn over both, and only while it is in hand.
func TestCordBetweenTwoBays(t *testing.T) {
	looks(t)
	t.Parallel()
	h := build(t, written(t, `studio: Two bays
gear:
  synth: {outputs: {out1: pro-line}}
  recorder: {inputs: {in1: pro-line}}
bays:
  high: {pairs: 8, modes: isolated}
  low: {pairs: 8, modes: isolated}
wiring:
  - synth/out1 -> high/t2
  - low/b6 -> recorder/in1
`, map[string]string{"take": "session: Take\nconnect: [synth/out1 -> recorder/in1]\n"}))
	if _, err := h.keeper.Act(t.Context(), keep.Act{Do: keep.ToRecall, Session: "take"}); err != nil {
		t.Fatal(err)
	}
	v := visit(t, desktop)
	v.open(h, "/")
	// Its ends are where the jacks are.
	v.until(`(() => {
		const box = document.querySelector("#over path")?.getBoundingClientRect();
		const middle = (jack) => { const r = document.querySelector('a[data-jack="' + jack + '"]').getBoundingClientRect(); return [r.left + r.width / 2, r.top + r.height * 7.5 / 17.5]; };
		const [a, b] = [middle("high/t2"), middle("low/b6")];
		return box && Math.abs(box.left - a[0]) < 9 && Math.abs(box.top - a[1]) < 9 && Math.abs(box.right - b[0]) < 9 && box.bottom >= b[1] - 9;
	})()`)
	v.shoot("two-bays")
	v.click("#tick-next")
	v.until(`document.querySelector("#room").dataset.phase === "given" && !document.querySelector("#over")`)
	v.calm()
}

// The screen is kept awake while there are moves for hands, and not longer.
func TestScreenStaysAwake(t *testing.T) {
	looks(t)
	t.Parallel()
	h := build(t, written(t, `studio: One cord
gear:
  synth: {outputs: {out1: pro-line}}
  recorder: {inputs: {in1: pro-line}}
bays: {main: {pairs: 2, modes: isolated}}
wiring: [synth/out1 -> main/t1, main/b1 -> recorder/in1]
`, map[string]string{"take": "session: Take\nconnect: [synth/out1 -> recorder/in1]\n"}))
	v := visit(t, phone)
	// A lock that says what was done to it, in the place of the device's.
	command(t, v.ctx, browsed.AddScriptToEvaluateOnNewDocument, browsed.AddScriptToEvaluateOnNewDocumentParams{Source: `
		window.awake = 0;
		Object.defineProperty(navigator, "wakeLock", {value: {request: async () => {
			window.awake++;
			return {released: false, release() { if (!this.released) window.awake--; this.released = true; return Promise.resolve(); }};
		}}});`})
	v.open(h, "/")
	v.until(`window.awake === 0`)
	if _, err := h.keeper.Act(t.Context(), keep.Act{Do: keep.ToRecall, Session: "take"}); err != nil {
		t.Fatal(err)
	}
	v.until(`window.awake === 1 && document.querySelector("#tick-next")`)
	v.click("#tick-next")
	v.until(`document.querySelector("#room").dataset.phase === "given" && window.awake === 0`)
	v.calm()
}

// What is not as the next move says: it was so already, and its jack is faulty.
func TestNotAsItSays(t *testing.T) {
	looks(t)
	t.Parallel()
	h := handsWanted(t)
	v := visit(t, phone)
	v.open(h, "/")
	next := v.text("#next .number")
	v.click("#already")
	v.until(fmt.Sprintf(`document.querySelector("#room").dataset.next !== %q`, next))
	v.until(`document.querySelector('#not-so button[id^="faulty-"]')`)
	v.click(`#not-so button[id^="faulty-"]`)
	v.until(`document.querySelector("a.jack.faulty")`)
	if tags := h.status().Tags; len(tags) != 1 {
		t.Errorf("tagged are %v", tags)
	}
	v.calm()
}

// Somebody turns a matrix by hand, where the studio says to leave it so.
func TestDriftIsShown(t *testing.T) {
	t.Parallel()
	h := build(t, written(t, `studio: Drift
gear:
  synth: {outputs: {out1-2: pro-line}}
  recorder: {inputs: {in1: pro-line}}
matrices: {grid: {label: relay matrix, inputs: 2, outputs: 1, device: {description: scpi-switch, link: "tcp:127.0.0.1:1"}}}
wiring: [synth/out1-2 -> grid/in1-2, grid/out1 -> recorder/in1]
drift: keep
`, map[string]string{"take": "session: Take\nconnect: [synth/out1 -> recorder/in1]\n"}))
	if _, err := h.keeper.Act(t.Context(), keep.Act{Do: keep.ToRecall, Session: "take"}); err != nil {
		t.Fatal(err)
	}
	v := visit(t, desktop)
	v.open(h, "/happened")
	v.until(`document.querySelector("#main").innerText.includes("1 output: read back")`)
	h.unit("grid").turn(name.At("grid", "out", 1), name.At("grid", "in", 2))
	v.until(`document.querySelector("#main .warning")?.innerText.includes("relay matrix out 1 was changed at the device to in2; take needs in1")`)
	v.until(`[...document.querySelectorAll(".past .drift")].length > 0`)
	v.shoot("drift")
	v.open(h, "/")
	v.until(`document.querySelector(".points td.closed a.point")?.innerText.startsWith("2") && document.querySelector(".problems").innerText.includes("Left alone")`)
	v.calm()
	v.click("#remedy-put-back-grid")
	v.until(`!document.querySelector(".problems") && document.querySelector(".points td.closed a.point")?.innerText.startsWith("1")`)
}

// The marks are told apart without colour: on a screen that shows none, and by
// eyes that see no red or green.
func TestWithoutColour(t *testing.T) {
	looks(t)
	t.Parallel()
	h := handsWanted(t)
	v := visit(t, desktop)
	v.open(h, "/")
	for _, eyes := range []emulation.SetEmulatedVisionDeficiencyType{emulation.SetEmulatedVisionDeficiencyTypeAchromatopsia, emulation.SetEmulatedVisionDeficiencyTypeDeuteranopia} {
		command(t, v.ctx, emulation.SetEmulatedVisionDeficiency, emulation.SetEmulatedVisionDeficiencyParams{Type: eyes})
		v.shoot("eyes-" + eyes.String())
	}
	// Every jack with a plug in it or to come has a word, a letter or a bar, and the
	// three states differ in their line.
	v.until(`[...document.querySelectorAll("#bays a[data-state]")].every((j) => j.nextElementSibling.querySelector("text, .bar"))`)
	styles, err := chromedp.Run(v.ctx, chromedp.Evaluate[[]string](`["in", "in believed", "coming", "going"].map((state) => {
		const g = document.createElementNS("http://www.w3.org/2000/svg", "g");
		g.setAttribute("class", "dress " + state);
		g.innerHTML = '<circle class="outline"/>';
		document.querySelector("#bays svg.panel").append(g);
		const s = getComputedStyle(g.firstChild);
		return (s.fill === s.stroke ? "filled" : "hollow") + " " + s.strokeDasharray;
	})`))
	v.must(err)
	seen := map[string]bool{}
	for _, s := range styles {
		if seen[s] {
			t.Errorf("two states look the same without colour: %q", styles)
		}
		seen[s] = true
	}
}

// The rooms of one studio hold different sessions, and each says its own.
func TestRoomsOfOneStudio(t *testing.T) {
	looks(t)
	t.Parallel()
	h := build(t, written(t, `studio: Two rooms
gear:
  desk: {outputs: {out1-2: pro-line}, inputs: {in1-2: pro-line}}
  stage: {outputs: {out1-2: pro-line}, inputs: {in1-2: pro-line}}
bays:
  main: {pairs: 4, modes: isolated}
  far: {pairs: 4, modes: isolated}
wiring:
  - desk/out1-2 -> main/t1-2
  - main/b1-2 -> desk/in1-2
  - stage/out1-2 -> far/t1-2
  - far/b1-2 -> stage/in1-2
ties: [main/b4 = far/t4]
rooms: {live: [far], mix: [main]}
`, map[string]string{
		"concert": "session: Concert\nconnect: [stage/out1 -> stage/in1]\n",
		"mixdown": "session: Mixdown\nconnect: [desk/out1 -> desk/in1]\n",
		"link":    "session: Link\nconnect: [desk/out1 -> stage/in1]\n",
	}))
	for _, called := range []string{"concert", "mixdown"} {
		if _, err := h.keeper.Act(t.Context(), keep.Act{Do: keep.ToRecall, Session: called}); err != nil {
			t.Fatal(err)
		}
		if _, err := h.keeper.Act(t.Context(), keep.Act{Do: keep.WereDone, All: true}); err != nil {
			t.Fatal(err)
		}
	}
	v := visit(t, desktop)
	v.open(h, "/sessions/link")
	v.until(`document.querySelector(".rooms").innerText.includes("live: Concert") && document.querySelector(".rooms").innerText.includes("mix: Mixdown")`)
	v.click("#recall")
	v.until(`document.querySelector("#refused").innerText.includes("Nothing was changed")`)
	v.js(`document.querySelector("#instead").click()`)
	v.click("#recall")
	v.until(`location.pathname === "/" && document.querySelector(".rooms").innerText.includes("live: Link")`)
	v.open(h, "/sessions/rest")
	v.click("#rest-live")
	v.until(`location.pathname === "/" && !document.querySelector(".rooms").innerText.includes("live: Link")`)
	v.open(h, "/sessions")
	v.click("#undo-in-live")
	v.until(`location.pathname === "/" && document.querySelector(".rooms").innerText.includes("live: Link")`)
}

// A lead that nobody planned: from the port that it hangs on to a jack.
func TestLeadByHand(t *testing.T) {
	looks(t)
	t.Parallel()
	h := build(t, heron(t))
	v := visit(t, desktop)
	v.open(h, "/?at=organ/out1")
	v.click("#plugged")
	v.until(`document.querySelector("#room").dataset.from === "organ/out1"`)
	v.click(`[data-jack="far/t13"]`)
	v.until(`document.querySelector('[data-jack="far/t13"]').dataset.state === "in"`)
	if leads := h.status().Known.Leads; len(leads) != 1 || leads[0].Port.String() != "organ/out1" {
		t.Errorf("the leads are %v", leads)
	}
	v.calm()
}

// The next step is read from two metres: a capital is 9.3 mm high there, 16
// minutes of arc, which is the least that ISO 9241-303 asks for (from memory).
func TestReadFromTwoMetres(t *testing.T) {
	looks(t)
	t.Parallel()
	h := handsWanted(t)
	v := visit(t, desktop)
	v.open(h, "/")
	high, err := chromedp.Run(v.ctx, chromedp.Evaluate[float64](`(async () => {
		await document.fonts.ready;
		const s = getComputedStyle(document.querySelector("#next .place"));
		const c = document.createElement("canvas").getContext("2d");
		c.font = s.fontWeight + " " + s.fontSize + " " + s.fontFamily;
		return c.measureText("H").actualBoundingBoxAscent * 25.4 / 96;
	})()`, chromedp.EvalAwaitPromise))
	v.must(err)
	if high < 9.2 {
		t.Errorf("a capital of the next move is %.1f mm high", high)
	}
}
