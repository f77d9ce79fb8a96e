package page

import (
	"fmt"
	"strings"
	"testing"

	pointer "github.com/chromedp/cdproto/input"

	"bayhand/recall/keep"
)

// No tick by a person is lost on the view of one move: not when the view came anew
// just before it, not while the tick before it is on its way, not when the view is
// exchanged under a finger. What is not ticked is told.
func TestNoTickIsLost(t *testing.T) {
	t.Parallel()
	h := handsWanted(t)
	v := visit(t, desktop)
	v.stubbed()
	v.open(h, "/hands")
	v.js(slowRoom)
	viewCameAnew(v, h)
	pressedAhead(t, v, h)
	underAFinger(v, h)
	movedByAnother(t, v, h)
	refusedAhead(t, v)
	viewFailedOnce(t, v, h)
	done := map[string]int{}
	for _, d := range h.status().Done {
		done[d.ID]++
	}
	for id, times := range done {
		if times != 1 {
			t.Errorf("step %s is done %d times", id, times)
		}
	}
	v.calm()
}

// viewCameAnew presses right after a view came, as one does whenever a device was read.
func viewCameAnew(v *visitor, h *house) {
	v.t.Helper()
	was := v.next()
	v.js(`document.addEventListener("shown", () => press(), {once: true})`)
	h.changes.Tell()
	v.goesOn(was)
}

// pressedAhead presses two moves before the room has answered.
func pressedAhead(t *testing.T, v *visitor, h *house) {
	t.Helper()
	v.nextPress()
	first, second := v.next(), v.following()
	v.js(`posts = 0; hold = true; press()`)
	v.until(onScreen(second))
	v.nextPress()
	v.js(`press()`)
	v.nextPress()
	v.js(`press(); letGo()`) // the second once more: it is the same move
	v.goesOn(first, second)
	v.until(`!document.querySelector(".telling")`)
	for _, step := range []string{first, second} {
		if !didIt(h, step) {
			t.Errorf("step %s was not ticked", step)
		}
	}
	if posts := v.value(`posts + ""`); posts != "2" {
		t.Errorf("two moves were said in %s words", posts)
	}
}

// underAFinger has a view come while the button of a mouse is down.
func underAFinger(v *visitor, h *house) {
	v.t.Helper()
	v.nextPress()
	was, at := v.next(), v.where("#move .place")
	v.mouse(pointer.DispatchMouseEventTypeMousePressed, at, 1)
	v.js(`views = 0`)
	h.changes.Tell()
	v.until(`views > 0`)
	v.mouse(pointer.DispatchMouseEventTypeMouseReleased, at, 0)
	v.goesOn(was)
}

// movedByAnother has somebody else tick the move just before it is pressed.
func movedByAnother(t *testing.T, v *visitor, h *house) {
	t.Helper()
	v.nextPress()
	was := v.next()
	v.js(`posts = 0; window.pressed = false; document.addEventListener("shown", () => {
		const { next } = document.querySelector("#room").dataset;
		if (!pressed && next && next !== "` + was + `") { pressed = true; press(); }
	})`)
	if _, err := h.keeper.Act(t.Context(), keep.Act{Do: keep.WereDone, IDs: []string{was}}); err != nil {
		t.Fatal(err)
	}
	v.until(`pressed && document.querySelector("#told").innerText.includes("nothing was ticked")`)
	if posts := v.value(`posts + ""`); posts != "0" {
		t.Error("the move that had come meanwhile was ticked")
	}
}

// refusedAhead has the room refuse a tick that another was pressed after.
func refusedAhead(t *testing.T, v *visitor) {
	t.Helper()
	v.nextPress()
	first, second := v.next(), v.following()
	v.js(`posts = 0; hold = true; refuse = "Nothing was changed: the disk is full"; press()`)
	v.until(onScreen(second))
	v.nextPress()
	v.js(`press(); letGo()`)
	v.until(onScreen(first) + ` && !document.querySelector(".telling") && document.querySelector("#refused").innerText.includes("the disk is full")`)
	if posts := v.value(`posts + ""`); posts != "1" {
		t.Error("a tick was sent after the one before it was refused")
	}
}

// viewFailedOnce has one view not come, while the stream stands.
func viewFailedOnce(t *testing.T, v *visitor, h *house) {
	t.Helper()
	was := v.next()
	v.js(`spoil = 1`)
	if _, err := h.keeper.Act(t.Context(), keep.Act{Do: keep.WereDone, IDs: []string{was}}); err != nil {
		t.Fatal(err)
	}
	v.goesOn(was)
	v.until(`spoil === 0 && document.querySelector("#gone").hidden`)
}

// slowRoom has a test hold back or refuse what is said to the room, and spoil a view.
const slowRoom = `{
	window.hold = false; window.refuse = ""; window.spoil = 0; window.posts = 0; window.views = 0;
	const ask = fetch, waiting = [];
	window.letGo = () => { hold = false; waiting.splice(0).forEach((go) => go()); };
	window.press = () => document.body.dispatchEvent(new KeyboardEvent("keydown", {key: " ", bubbles: true, cancelable: true}));
	window.fetch = async (url, options) => {
		if (url === "/do") {
			posts++;
			if (hold) await new Promise((go) => waiting.push(go));
			if (!refuse) return ask(url, options);
			const text = refuse;
			refuse = "";
			return new Response(text, {status: 409});
		}
		const answer = await ask(url, options), read = answer.text.bind(answer);
		if (spoil > 0) { spoil--; throw new TypeError("spoilt"); }
		answer.text = async () => { const text = await read(); setTimeout(() => views++); return text; };
		return answer;
	};
}`

// nextPress passes the pause within which a second press is the same press, by the
// clock of the stubs.
func (v *visitor) nextPress() { v.t.Helper(); v.js(`ahead += 400`) }

// next is the move that the room awaits; there is one.
func (v *visitor) next() string {
	v.t.Helper()
	v.until(`document.querySelector("#room").dataset.next`)
	return v.value(`document.querySelector("#room").dataset.next`)
}

func (v *visitor) following() string {
	v.t.Helper()
	v.until(`document.querySelector("#following")?.content.firstElementChild`)
	return v.value(`document.querySelector("#following").content.firstElementChild.dataset.step`)
}

// goesOn waits until the room awaits another move than these.
func (v *visitor) goesOn(was ...string) {
	v.t.Helper()
	v.until(fmt.Sprintf(`!["", %s].includes(document.querySelector("#room").dataset.next)`, `"`+strings.Join(was, `", "`)+`"`))
}

func onScreen(step string) string {
	return fmt.Sprintf(`document.querySelector("#move .large-move")?.dataset.step === %q`, step)
}

func didIt(h *house, step string) bool {
	for _, d := range h.status().Done {
		if d.ID == step {
			return true
		}
	}
	return false
}
