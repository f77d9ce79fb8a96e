package page

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"bayhand/model/plan"
	"bayhand/model/session"
	"bayhand/recall/keep"
	"bayhand/recall/words"
)

// One road to the end, in one browser: the preview with its picture, the moves alone
// on the screen, the settings, and what is heard where. Beside it a phone follows.
func TestRoadToTheEnd(t *testing.T) {
	t.Parallel()
	files := heron(t)
	files.Sessions["curlew-overdubs"].Notes = "Loud headphones. Turn them down before anything is plugged."
	h := build(t, files)
	v, other := visit(t, screen{width: 1440, height: 900}), visit(t, phone)
	v.open(h, "/sessions/curlew-overdubs")
	v.until(`document.querySelectorAll(".preview .dress .letter").length > 5 && document.querySelector(".steps-would .mark")`)
	letters := v.value(previewLetters)
	v.shoot("road-preview")
	v.leaves(func() { v.click("#recall") })
	v.until(`document.querySelector("#room").dataset.next !== ""`)
	stripsFit(t, v)
	if now := v.value(previewLetters); now != letters {
		t.Errorf("in the preview the jacks have %s, and recalled %s", letters, now)
	}
	if card := v.text("#next"); !contains(card, "Turn them down before anything", "settings of the gear", words.Cautions[3]) {
		t.Errorf("on the card stands %q", card)
	}
	if n := strings.Count(v.text("#main"), words.Cautions[3]); n != 1 {
		t.Errorf("the cautions stand %d times", n)
	}
	handsTick(t, v, other, h)
	for h.status().Phase != keep.Given {
		tickAll(t, h)
	}
	v.until(`document.querySelector("#next").innerText.includes("Now the settings")`)
	v.shoot("road-settings")
	other.open(h, "/")
	other.until(`document.querySelectorAll("#sheet-now button.set").length > 3`)
	for n := range 20 {
		left := `document.querySelectorAll('#next button.set[aria-checked="false"]').length`
		was := v.value(left + "+''")
		if was == "0" || n == 19 {
			break
		}
		v.click(`#next button.set[aria-checked="false"]`)
		v.until(left + " < " + was + ` || document.querySelector("#next").innerText.includes("As the session asks")`)
	}
	for _, who := range []*visitor{v, other} {
		who.until(`document.querySelector("#next").innerText.includes("As the session asks")`)
		if text := who.text("#next .heard"); !contains(text, "stems: interface out 1 to 8 -> desk in 1 to 8", "headphones: desk cue L to cue R -> headphone amplifier in 1 to 2") {
			t.Errorf("heard is %q", text)
		}
	}
	v.shoot("road-end")
	historyFolded(t, v, h)
	other.shoot("road-end-phone")
	v.calm()
	other.calm()
}

// historyFolded opens the one line of the recall: each step stands once in it, the
// matrix's too.
func historyFolded(t *testing.T, v *visitor, h *house) {
	t.Helper()
	v.open(h, "/happened")
	v.until(`document.querySelectorAll(".recalls > li").length === 2`)
	if line := v.text(".recalled summary"); !contains(line, "Curlew, overdubs", "by anna", fmt.Sprintf("%d steps done, ready", len(h.status().Done))) {
		t.Errorf("the line is %q", line)
	}
	v.shoot("history-folded")
	v.click(".recalled summary")
	v.until(`document.querySelector(".recalled .past").checkVisibility()`)
	switches := v.value(`[...document.querySelectorAll(".recalled .past li")].filter((li) => /step 3\b/.test(li.innerText)).length + ""`)
	if switches != "1" {
		t.Errorf("one switch stands in %s lines: %q", switches, v.text(".recalled .past"))
	}
	v.shoot("history-open")
}

// previewLetters are the marks at the jacks, in their order.
const previewLetters = `[...document.querySelectorAll(".bay .jack + .dress .letter")].map((l) => l.textContent).join("")`

// tickAll ticks each step that a person can tick now.
func tickAll(t *testing.T, h *house) {
	t.Helper()
	for _, s := range h.status().Left {
		if s.By == plan.Person {
			// One that waits for another is ticked in the next round.
			_, _ = h.keeper.Act(t.Context(), keep.Act{Do: keep.WereDone, IDs: []string{s.ID}})
		}
	}
}

// handsTick ticks moves alone on the screen: by the space bar, by a tap, by a key of
// one's own choice; a phone sees each.
func handsTick(t *testing.T, v, other *visitor, h *house) {
	t.Helper()
	v.stubbed()
	v.open(h, "/hands")
	other.open(h, "/hands")
	ticks := []func(){
		func() { v.run(chromedp.KeyEvent(" ")) },
		func() { v.js(`document.querySelector("#move .places").click()`) },
		func() {
			v.js(`document.querySelector("#by-foot").open = true`)
			v.click("#learn-key")
			v.run(chromedp.KeyEvent(kb.PageDown))
			v.until(`document.querySelector("#learned-key").innerText === "PageDown"`)
			v.run(chromedp.KeyEvent(kb.PageDown))
		},
	}
	for i, tick := range ticks {
		was := v.next()
		v.until(`!document.querySelector(".telling")`)
		v.nextPress()
		v.shoot(fmt.Sprintf("hands-%d", i))
		tick()
		for _, who := range []*visitor{v, other} {
			who.goesOn(was)
		}
		if !slices.ContainsFunc(h.status().Done, func(d keep.DoneStep) bool { return d.ID == was && d.Who == "anna" }) {
			t.Errorf("step %s was not ticked by anna", was)
		}
	}
	other.shoot("hands-phone")
	v.open(h, "/")
	v.until(`document.querySelector("#done-list").innerText.includes("reported by anna")`)
}

// Each move of each session of the demo as it stands alone on the screen is measured: who stands at two metres reads capitals of 16 minutes of arc, 9.3 mm (ISO
// 9241-303, from memory); a dot is 1/96 in.
func TestMovesFromTwoMetres(t *testing.T) {
	looks(t)
	t.Parallel()
	h := handsWanted(t)
	v := visit(t, desktop)
	const least = 9.3
	faces := stepFaces(t, h)
	for _, at := range []screen{{width: 1440, height: 900}, {width: 820, height: 1180, phone: true}, phone} {
		v.emulate(at)
		v.open(h, "/hands")
		v.until(`document.fonts.status === "loaded" && document.querySelector("#move .large-move")`)
		found := v.value(`((faces) => {
			const odd = [];
			const canvas = document.createElement("canvas").getContext("2d");
			for (const html of faces) {
				document.querySelector("#move").innerHTML = html;
				const face = document.querySelector("#move .large-move");
				const says = face.innerText.replaceAll("\n", " ");
				for (const e of face.querySelectorAll(".verb, .length, .place")) {
					const style = getComputedStyle(e);
					canvas.font = style.fontWeight + " " + style.fontSize + " Bay";
					const mm = canvas.measureText("H").actualBoundingBoxAscent * 25.4 / 96;
					const box = e.getBoundingClientRect();
					if (mm < ` + strconv.FormatFloat(least, 'f', -1, 64) + `) odd.push(mm.toFixed(1) + " mm: " + e.innerText);
					if (box.left < 0 || box.right > innerWidth + 1 || box.bottom > innerHeight) odd.push("out of the screen: " + says);
				}
				const mark = face.querySelector(".places .mark");
				if (mark && mark.getBoundingClientRect().width < 52) odd.push("a small mark: " + says);
				const card = face.getBoundingClientRect();
				for (const bay of face.querySelectorAll(".along .close")) {
					const box = bay.getBoundingClientRect();
					if (box.height < 20 || box.bottom > Math.min(card.bottom, innerHeight) + 1 || box.right > innerWidth + 1) odd.push("the bay is out of sight: " + says);
				}
				if (face.querySelector(".along") && !face.querySelector(".along .in-hand, .along .ring")) odd.push("no cord on the bay: " + says);
				if (face.querySelectorAll(".big").length < 2) odd.push("no words: " + says);
			}
			return odd.join("\n");
		})(` + faces + `)`)
		if found != "" {
			t.Errorf("at %d x %d:\n%s", at.width, at.height, found)
		}
		v.shoot(fmt.Sprintf("last-move-%d", at.width))
	}
	v.calm()
}

// stepFaces are the markup of all moves of the demo's sessions, each from rest, as a
// list for a script.
func stepFaces(t *testing.T, h *house) string {
	t.Helper()
	files := h.load()
	p := newPage(Options{Studio: files.Studio})
	var all []string
	kinds := map[string]bool{}
	for _, s := range files.Sessions {
		for _, m := range movesOf(t, p, s) {
			f := handsHandler{p}.face(m)
			handsHandler{p}.pictured(f, &m, plugReader{p}.plugs(keep.Status{}, &m, nil))
			var b strings.Builder
			if err := views().ExecuteTemplate(&b, "face", f); err != nil {
				t.Fatal(err)
			}
			kinds[f.Kind] = true
			all = append(all, strconv.Quote(b.String()))
		}
	}
	if !kinds["plug"] || !kinds["mute"] || !kinds["unmute"] || len(all) < 20 {
		t.Fatalf("the demo has %d moves of the kinds %v", len(all), kinds)
	}
	return "[" + strings.Join(all, ",") + "]"
}

func movesOf(t *testing.T, p *page, s *session.Session) []move {
	t.Helper()
	made, err := planned(t.Context(), plan.Request{Studio: p.Studio, Session: s, From: p.Studio.Rest})
	if err != nil {
		t.Fatal(err)
	}
	status := keep.Status{Left: made.Steps}
	var all []move
	for _, m := range (teller{p}).moves(status, newMarks().assign(status)) {
		if m.ByPerson {
			all = append(all, m)
		}
	}
	return all
}
