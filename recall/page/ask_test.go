package page

import (
	"fmt"
	"testing"

	pointer "github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// On the room's own bay a cord is dragged as a question, with the verdict beside it;
// nothing is told until it is meant. What is looked for is found while it is typed,
// and a lesson rings the jacks that it names.
func TestAskOnTheOwnBay(t *testing.T) {
	looks(t)
	t.Parallel()
	h := build(t, heron(t))
	v := visit(t, desktop)
	v.open(h, "/")
	v.drag(`[data-jack="main/t25"]`, `[data-jack="main/b17"]`)
	v.until(`document.querySelector("#verdict")?.innerText.includes("preamplifier out 1 -> tape recorder in 1, instead of desk mix L")`)
	v.until(`document.querySelector("#over path") && location.search === "?hand=if&from=main/t25&to=main/b17"`)
	v.shoot("what-if")
	if n := len(h.status().Known.Cords); n != 0 {
		t.Fatalf("asking plugged %d cords", n)
	}
	v.click("#enter")
	v.until(`document.querySelector('[data-jack="main/b17"]').dataset.state === "in" && location.search === "" && !document.querySelector("#entering")`)
	// Two outputs that would be joined are warned of; a jack that is taken moves its plug.
	v.open(h, "/?hand=if&from=main/t1&to=main/t2")
	v.until(`document.querySelector("#verdict .warnings")?.innerText.includes("outputs are joined")`)
	v.open(h, "/?hand=if&from=main/b17&to=main/b18")
	v.until(`document.querySelector("#entering").innerText.includes("The plug from main 17 bottom in main 18 bottom")`)
	pulledAway(t, v, h)
	// By touch and by keys the question begins at the jack.
	v.open(h, "/?at=main/t3")
	v.click("#what-if")
	v.until(`document.querySelector("#room").dataset.from === "main/t3"`)
	v.click(`[data-jack="main/b9"]`)
	v.until(`document.querySelector("#verdict")`)
	typedSearch(v, h)
	v.open(h, "/bench?do=lesson&lesson=normal")
	v.until(`document.querySelectorAll("#bays .jack.now .ring").length === 1`)
	v.open(h, "/bench?do=lesson&lesson=crosspoint")
	v.until(`document.querySelectorAll("td.now").length === 1`)
	ringed := v.value(`document.querySelector("td.now .spot").dataset.cross`)
	v.click("td.now .spot")
	v.until(`document.querySelector("#task").innerText.includes("Done.") && !document.querySelector("td.now")`)
	v.click("#lesson-next")
	v.until(fmt.Sprintf(`document.querySelectorAll("td.now").length === 1 && document.querySelector("td.now .spot").dataset.cross !== %q`, ringed))
	v.calm()
	p := newPage(Options{Studio: heron(t).Studio})
	if all := (findHandler{p}).find("desk mix"); len(all) < 2 || all[0].Words != "desk mix L" {
		t.Errorf("found is %+v", all)
	}
	if all := (findHandler{p}).find("no such thing"); len(all) != 0 {
		t.Errorf("found is %+v", all)
	}
}

// A finger that rests on a jack has a cord in its hand, and asks as a mouse does, with
// the same words; one that does not rest scrolls the bay. Resting alone asks from there.
func TestFingerAsks(t *testing.T) {
	looks(t)
	t.Parallel()
	h := build(t, heron(t))
	mouse, finger := visit(t, desktop), visit(t, phone)
	const from, to = `[data-jack="main/t25"]`, `[data-jack="main/b27"]`
	mouse.open(h, "/")
	mouse.drag(from, to)
	mouse.until(`document.querySelector("#verdict")`)
	finger.open(h, "/")
	a := finger.inSight(from)
	b := finger.where(to)
	finger.finger(pointer.DispatchTouchEventTypeTouchStart, a)
	finger.until(`document.querySelector("#over path")`)
	finger.shoot("cord-in-a-finger")
	for i := range 4 {
		part := float64(i+1) / 4
		finger.finger(pointer.DispatchTouchEventTypeTouchMove, [2]float64{a[0] + (b[0]-a[0])*part, a[1] + (b[1]-a[1])*part})
	}
	finger.finger(pointer.DispatchTouchEventTypeTouchEnd)
	finger.until(`document.querySelector("#verdict")`)
	if said, want := finger.text("#entering"), mouse.text("#entering"); said != want || !contains(said, "preamplifier out 1 -> ") {
		t.Errorf("asked by a finger it says %q, by a mouse %q", said, want)
	}
	finger.shoot("asked-by-a-finger")
	finger.open(h, "/")
	finger.inSight(from)
	finger.js(`window.stood = document.querySelector("#scroll-main").scrollLeft`)
	finger.slide(from, -120, 0)
	finger.until(`document.querySelector("#scroll-main").scrollLeft !== stood && !document.querySelector("#over") && location.search === ""`)
	// A bay that was pushed glides on for a while, under a finger too: so on a new page.
	finger.open(h, "/")
	finger.finger(pointer.DispatchTouchEventTypeTouchStart, finger.inSight(from))
	finger.until(`document.querySelector("#over path")`)
	// What comes meanwhile may move the bay under the finger.
	finger.js(`document.querySelector("#scroll-main").scrollBy({left: -100, behavior: "instant"})`)
	finger.finger(pointer.DispatchTouchEventTypeTouchEnd)
	// A browser gives a finger's click late, or not at all.
	finger.js(`document.querySelector('[data-jack="main/t25"]').dispatchEvent(new MouseEvent("click", {bubbles: true, cancelable: true, detail: 1}))`)
	finger.until(`document.querySelector("#room").dataset.from === "main/t25" && document.querySelector("#entering")`)
	if n := len(h.status().Known.Cords); n != 0 {
		t.Errorf("asking plugged %d cords", n)
	}
	mouse.calm()
	finger.calm()
}

// pulledAway drags a plug off the bays: what would no longer be heard is said, and
// nothing is pulled until it is meant.
func pulledAway(t *testing.T, v *visitor, h *house) {
	t.Helper()
	v.open(h, "/")
	v.drag(`[data-jack="main/b17"]`, "#bays-title")
	v.until(`document.querySelector("#verdict")?.innerText.includes("desk mix L -> tape recorder in 1, instead of preamplifier out 1")`)
	v.until(`location.search === "?from=main/b17&hand=if&out=yes" || location.search === "?hand=if&from=main/b17&out=yes"`)
	v.shoot("what-if-out")
	if n := len(h.status().Known.Cords); n != 1 {
		t.Fatalf("asking leaves %d cords", n)
	}
	v.open(h, "/?at=main/b17")
	v.click("#what-if-out")
	v.until(`document.querySelector("#verdict") && document.querySelector("#enter").innerText === "Report it unplugged"`)
	v.click("#enter")
	v.until(`document.querySelector('[data-jack="main/b17"]').dataset.state === undefined && location.search === ""`)
	if n := len(h.status().Known.Cords); n != 0 {
		t.Errorf("taken, it leaves %d cords", n)
	}
	// An empty jack has no plug to drag away.
	v.drag(`[data-jack="main/b17"]`, "#bays-title")
	v.open(h, "/?hand=if&from=main/b17&out=yes")
	v.until(`document.querySelector("#verdict .error")`)
}

func typedSearch(v *visitor, h *house) {
	v.t.Helper()
	v.open(h, "/")
	v.js(`document.querySelector("#follow-at").focus()`)
	v.run(chromedp.KeyEvent("compressor in"))
	v.until(`document.querySelectorAll("#found a").length >= 2 && document.querySelector("#found a").innerText === "compressor in 1"`)
	v.run(chromedp.KeyEvent(kb.ArrowDown), chromedp.KeyEvent(kb.Enter))
	v.until(`document.querySelector("#touched-title")?.innerText.includes("compressor in 1")`)
	v.open(h, "/sessions")
	v.js(`document.querySelector("#find").focus()`)
	// The list follows while somebody thinks, and goes on where he was.
	v.run(chromedp.KeyEvent("cur"))
	v.until(`location.search === "?find=cur" && document.querySelectorAll(".sessions a").length === 2 && document.querySelector("#find").getAttribute("value") === "cur"`)
	v.run(chromedp.KeyEvent("lew"))
	v.until(`location.search === "?find=curlew" && document.querySelectorAll(".sessions a").length === 2 && document.activeElement.id === "find"`)
}
