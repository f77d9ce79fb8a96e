package page

import (
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// On the room's own bay a cord is dragged as a question, with the verdict beside it;
// nothing is told until it is meant. What is looked for is found while it is typed,
// and a lesson rings the jacks that it names.
func TestAskOnTheOwnBay(t *testing.T) {
	t.Parallel()
	h := build(t, heron(t))
	v := visit(t, desktop)
	v.open(h, "/")
	v.drag(`[data-jack="main/t25"]`, `[data-jack="main/b17"]`)
	v.until(`document.querySelector("#verdict")?.innerText.includes("preamplifier out 1 -> tape recorder in 1, instead of desk mix 1")`)
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
	// By touch and by keys the question begins at the jack.
	v.open(h, "/?at=main/t3")
	v.click("#what-if")
	v.until(`document.querySelector("#room").dataset.from === "main/t3"`)
	v.click(`[data-jack="main/b9"]`)
	v.until(`document.querySelector("#verdict")`)
	typedSearch(v, h)
	v.open(h, "/bench?do=lesson&lesson=normal")
	v.until(`document.querySelectorAll("#bays .jack.now .ring").length === 1`)
	v.calm()
	p := newPage(Options{Studio: heron(t).Studio})
	if all := p.find("desk mix"); len(all) < 2 || all[0].Words != "desk mix 1" {
		t.Errorf("found is %+v", all)
	}
	if all := p.find("no such thing"); len(all) != 0 {
		t.Errorf("found is %+v", all)
	}
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
