package page

import (
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"bayhand/model/heard"
	"bayhand/recall/keep"
)

// The main job, from the list of sessions to the last cord, at a desk and on a
// phone.
func TestFromRecallToTheLastCord(t *testing.T) {
	t.Parallel()
	for called, at := range map[string]screen{"desktop": desktop, "phone": phone.inTheDark()} {
		t.Run(called, func(t *testing.T) {
			t.Parallel()
			h := build(t, keep.Files{})
			h.laying = heron(t)
			h.look()
			v := visit(t, at)
			v.open(h, "/")
			v.until(`location.pathname === "/files"`)
			v.shoot(called + "-first-start")
			v.click("#begin-demo")
			v.until(`document.querySelector("#to-the-bay")`)
			v.shoot(called + "-first-read")
			v.click("#to-the-bay")
			v.until(`location.pathname === "/" && document.querySelectorAll("[data-jack]").length === 128`)
			v.open(h, "/sessions?find=tern+second")
			v.click(`a[href="/sessions/tern-mix-2"]`)
			v.until(`document.querySelector(".would")?.innerText.includes("plugs to handle")`)
			v.shoot(called + "-session")
			before := h.status()
			v.click("#recall")
			v.until(`location.pathname === "/" && document.querySelector("#room").dataset.phase === "waiting"`)
			if now := h.status(); before.Session != "" || now.Session != "tern-mix-2" {
				t.Errorf("looked at it was %q, recalled %q", before.Session, now.Session)
			}
			v.shoot(called + "-begin")
			moves := 0
			for ; h.status().Phase != keep.Given && moves < 60; moves++ {
				if moves == 7 {
					v.shoot(called + "-middle")
				}
				next := v.next()
				v.click("#tick-next")
				v.until(fmt.Sprintf(`document.querySelector("#room").dataset.next !== %q`, next))
			}
			v.until(`document.querySelector("#room").dataset.phase === "given"`)
			for _, f := range heard.NewRoom(h.load().Studio).CheckGiven(h.load().Sessions["tern-mix-2"], h.status().Known.Patch(), nil) {
				t.Errorf("after %d moves: %+v", moves, f)
			}
			v.shoot(called + "-given")
			v.calm()
		})
	}
}

// handsWanted is a house whose room waits for hands.
func handsWanted(t testing.TB) *house {
	t.Helper()
	h := build(t, heron(t))
	if _, err := h.keeper.Act(t.Context(), keep.Act{Do: keep.ToRecall, Session: "tern-mix-2"}); err != nil {
		t.Fatal(err)
	}
	return h
}

// Two people tick at the same time: each sees what the other did, and the same
// move ticked twice is done once.
func TestTwoAtTheBay(t *testing.T) {
	t.Parallel()
	h := handsWanted(t)
	one, two := visit(t, desktop), visit(t, phone)
	one.open(h, "/")
	two.open(h, "/")
	first := one.next()
	one.click("#tick-next")
	two.goesOn(first)
	// Who does not see it hears what comes next.
	two.until(`document.querySelector("#say").innerText.startsWith("Next: ")`)
	second := two.next()
	both := fmt.Sprintf(`document.querySelector("#room").dataset.next === %q`, second)
	one.until(both)
	// The other presses at the same moment, if the step is still on his screen.
	for _, v := range []*visitor{one, two} {
		v.js(`{ const ask = fetch; window.asking = 0; window.fetch = (...all) => { asking++; return ask(...all).finally(() => asking--); }; }`)
	}
	two.js(fmt.Sprintf(`window.pressed = false; setTimeout(() => { if (document.querySelector("#room").dataset.next === %q) document.querySelector("#tick-next").click(); pressed = true; }, 20)`, second))
	one.click("#tick-next")
	for _, v := range []*visitor{one, two} {
		v.goesOn(second)
	}
	// Either press may come first; what follows comes after both.
	two.until(`pressed && asking === 0`)
	one.until(`asking === 0`)
	done := map[string]int{}
	for _, d := range h.status().Done {
		done[d.ID]++
	}
	if done[first] != 1 || done[second] != 1 {
		t.Errorf("steps %s and %s are done %d and %d times", first, second, done[first], done[second])
	}
	// The one who takes it back shows it to the other.
	two.click("#undo")
	two.until(fmt.Sprintf(`document.querySelector("#room").dataset.next === %q`, second))
	one.until(fmt.Sprintf(`document.querySelector("#room").dataset.next === %q`, second))
}

// The page says that nobody answers, and goes on by itself when somebody does.
func TestServerGoneAndBack(t *testing.T) {
	t.Parallel()
	h := handsWanted(t)
	v := visit(t, desktop)
	v.open(h, "/")
	v.js(`window.notLoadedAgain = true`)
	next := v.text("#next .number")
	h.stop()
	v.until(`!document.querySelector("#gone").hidden`)
	v.click("#tick-next")
	v.until(`!document.querySelector("#refused").hidden && document.querySelector("#refused").innerText.includes("may not be saved")`)
	v.shoot("gone")
	h.open()
	v.until(`document.querySelector("#gone").hidden && window.notLoadedAgain`)
	v.click("#tick-next")
	v.until(fmt.Sprintf(`document.querySelector("#room").dataset.next !== %q && document.querySelector("#refused").hidden`, next))
}

// What nobody planned is entered with two touches, taken back at its jack, and a
// move can be put off.
func TestWhatNobodyPlanned(t *testing.T) {
	looks(t)
	t.Parallel()
	h := handsWanted(t)
	v := visit(t, phone)
	v.stubbed()
	v.open(h, "/")
	next := v.text("#next .number")
	v.click("#later")
	v.until(fmt.Sprintf(`document.querySelector("#room").dataset.next !== %q`, next))
	v.run(chromedp.NavigateBack())
	v.until(fmt.Sprintf(`document.querySelector("#room").dataset.next === %q`, next))

	v.click("#else")
	v.until(`document.activeElement.id === "entering"`)
	v.click(`[data-jack="far/t13"]`)
	v.until(`document.querySelector("#room").dataset.from === "far/t13"`)
	v.shoot("entering")
	// A finger that is not sure taps twice: the second tap is no second cord.
	v.js(`for (const n of [1, 2]) document.querySelector('[data-jack="far/b14"]').dispatchEvent(new MouseEvent("click", {bubbles: true, cancelable: true}))`)
	v.until(`["going", "in"].includes(document.querySelector('[data-jack="far/b14"]').dataset.state) && location.search === "" && !document.querySelector("#room").dataset.from`)
	if cords := h.status().Known.Cords; len(cords) != 1 || v.text("#refused") != "" || v.text("#touched") != "" {
		t.Errorf("after two taps there are %d cords, it says %q, and %q", len(cords), v.text("#refused"), v.text("#touched"))
	}
	v.nextPress()
	v.click(`[data-jack="far/b14"]`)
	v.until(`document.activeElement.id === "touched" && document.querySelector("#touched").innerText.includes("reported by anna")`)
	v.shoot("touched-phone")
	v.click("#was-pulled button, #was-pulled")
	v.until(`document.querySelector('[data-jack="far/b14"]').dataset.state === undefined`)
	v.click("#tag")
	v.until(`document.querySelector('[data-jack="far/b14"]').classList.contains("faulty")`)
	if tags := h.status().Tags; len(tags) != 1 || tags[0].Jack.String() != "far/b14" {
		t.Errorf("tagged is %v", tags)
	}
	v.calm()
}

// The way of a signal is lit from end to end, by touch and by the keyboard.
func TestFollowASignal(t *testing.T) {
	looks(t)
	t.Parallel()
	h := build(t, heron(t))
	v := visit(t, desktop)
	v.open(h, "/")
	v.js(`document.querySelector('[data-jack="main/t1"]').focus()`)
	v.run(chromedp.KeyEvent(kb.ArrowRight), chromedp.KeyEvent(kb.ArrowDown), chromedp.KeyEvent(kb.Enter))
	v.until(`document.querySelector("#touched")?.innerText.includes("-> normal ->")`)
	for _, jack := range []string{"main/t2", "main/b2"} {
		v.until(fmt.Sprintf(`document.querySelector('[data-jack=%q]').classList.contains("lit")`, jack))
	}
	if text := v.text("#touched"); !contains(text, "from interface out 2", "to desk in 2") {
		t.Errorf("the way is %q", text)
	}
	v.shoot("follow")
	v.run(chromedp.KeyEvent(kb.Escape))
	v.until(`!document.querySelector("#touched") && location.search === ""`)
	v.open(h, "/?at=speakers/in1")
	v.until(`document.querySelectorAll(".points td.lit").length === 1`)
	v.open(h, "/?at=speekers/in1")
	v.until(`document.querySelector(".trouble")?.innerText.includes("speakers")`)
	v.calm()
}

func TestUndoARecall(t *testing.T) {
	t.Parallel()
	h := handsWanted(t)
	if _, err := h.keeper.Act(t.Context(), keep.Act{Do: keep.ToRecall, Session: "evening-listening"}); err != nil {
		t.Fatal(err)
	}
	v := visit(t, phone)
	v.open(h, "/sessions")
	v.until(`document.querySelector("#main").innerText.includes("session before this was Tern Quartet, second mix")`)
	v.click("#undo-recall")
	v.until(`location.pathname === "/" && document.querySelector("h1").innerText === "Tern Quartet, second mix"`)
	if now := h.status().Session; now != "tern-mix-2" {
		t.Errorf("after the undo the room is in %q", now)
	}
	v.calm()
}

func TestCaptureAndSheet(t *testing.T) {
	t.Parallel()
	h := handsWanted(t)
	v := visit(t, desktop.inTheDark())
	v.open(h, "/sessions")
	v.shoot("sessions")
	v.fill("#capture-name", "tern-mix-1")
	v.until(`document.querySelector("#refused").innerText.includes("there already")`)
	v.leaves(func() { v.fill("#capture-name", "tuesday") })
	if got := <-h.captured; got != "tuesday" {
		t.Errorf("captured %q", got)
	}
	v.open(h, "/")
	// A setting that one has made is ticked for everybody.
	other := visit(t, phone)
	other.open(h, "/")
	v.click(".sheet button.set")
	for _, who := range []*visitor{v, other} {
		who.until(`document.querySelector(".sheet button.set").ariaChecked === "true"`)
	}
	other.click(".sheet button.set")
	v.until(`document.querySelector(".sheet button.set").ariaChecked === "false"`)
	v.shoot("sheet")
	v.open(h, "/happened")
	v.shoot("happened")
	if text := v.text("#main"); !contains(text, "tern-mix-2", "read back", "monitor matrix") {
		t.Errorf("what happened is %q", text)
	}
}

func contains(text string, all ...string) bool {
	for _, want := range all {
		if !strings.Contains(text, want) {
			return false
		}
	}
	return true
}
