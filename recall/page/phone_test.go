package page

import (
	"fmt"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"bayhand/recall/keep"
	"bayhand/recall/serve"
	"bayhand/recall/web"
)

// A phone is let in by the code on the desk's screen, ticks a move in its own name,
// opens without the network and says since when, and is let out: three browsers at
// one room.
func TestPhoneIsLetIn(t *testing.T) {
	t.Parallel()
	axe, err := os.ReadFile("testdata/axe/axe.min.js")
	if err != nil {
		t.Fatal(err)
	}
	h := buildAt(t, heron(t), "0.0.0.0:0")
	if _, err := h.keeper.Act(t.Context(), keep.Act{Do: keep.ToRecall, Session: "evening-listening"}); err != nil {
		t.Fatal(err)
	}
	desk, wall, hand := visit(t, desktop), visit(t, desktop), visit(t, phone)
	wall.letIn(h, serve.Look)
	wall.open(h, "/screens")
	if text := wall.text("#main"); !contains(text, "This screen lets nobody in or out") || wall.text("#let-in") != "" {
		t.Errorf("a screen that may look says %q", text)
	}
	desk.open(h, "/screens")
	desk.js(`document.querySelector("#who").value = "Bo's phone"`)
	desk.click("#let-in")
	desk.until(`document.querySelector(".invitation .camera path")`)
	for _, found := range desk.violations(string(axe), false) {
		t.Errorf("screens: %s", found)
	}
	desk.shoot("screens")
	if !contains(desk.text(".invitation"), "tick steps", "as Bo's phone") {
		t.Errorf("the invitation says %q", desk.text(".invitation"))
	}
	address := regexp.MustCompile(`//[^/]+`).ReplaceAllString(desk.text(".invitation code"), "//"+h.address)
	hand.run(chromedp.Navigate(address))
	hand.until(`document.querySelector(".may")?.innerText.includes("tick steps and report plugs")`)
	for _, found := range hand.violations(string(axe), false) {
		t.Errorf("the invite: %s", found)
	}
	hand.shoot("invite-phone")
	hand.in[h] = true
	hand.leaves(func() { hand.js(`document.querySelector("form").requestSubmit()`) })
	desk.until(`!document.querySelector(".invitation") && document.querySelector(".let-in").innerText.includes("Bo's phone may tick steps")`)
	next := hand.value(`document.querySelector("#room").dataset.next`)
	hand.click("#tick-next")
	hand.until(fmt.Sprintf(`document.querySelector("#room").dataset.next !== %q`, next))
	wall.open(h, "/")
	wall.until(`document.querySelector("#done-list").innerText.includes("reported by Bo's phone") && !document.querySelector("#tick-next")`)
	if in := desk.words(`[...document.querySelectorAll(".let-in li")].map((li) => li.innerText).filter((text) => text.includes("(this screen)"))`); len(in) != 1 || !strings.HasPrefix(in[0], "anna") {
		t.Errorf("of the screens this one is %q", in)
	}
	for _, v := range []*visitor{desk, wall, hand} {
		v.calm()
	}
	keptOnThePhone(t, h, hand)
	desk.open(h, "/screens")
	desk.click(`.let-in li:first-child button`)
	desk.until(`!document.querySelector(".let-in").innerText.includes("Bo's phone")`)
	hand.run(chromedp.Navigate("http://" + h.address + "/"))
	hand.until(`document.querySelector("h1").innerText === "Let this screen in"`)
}

// keptOnThePhone cuts the phone off, and opens the page all the same.
func keptOnThePhone(t *testing.T, h *house, hand *visitor) {
	t.Helper()
	hand.open(h, "/screens")
	hand.until(`document.querySelector("#keep-here:not([hidden])")`)
	hand.click("#keep-here")
	hand.until(`document.querySelector("#kept").innerText.includes("kept on this device")`)
	hand.open(h, "/")
	hand.until(`navigator.serviceWorker.controller`)
	hand.js(`window.held = false; caches.open("bayhand-page").then((c) => c.match("/")).then((m) => (window.held = Boolean(m)))`)
	hand.until(`window.held || (caches.open("bayhand-page").then((c) => c.match("/")).then((m) => (window.held = Boolean(m))), false)`)
	session := hand.text("h1")
	h.stop()
	hand.run(chromedp.Navigate("http://" + h.address + "/"))
	hand.until(`!document.querySelector("#gone").hidden && document.querySelector("#room").dataset.heard`)
	if said := hand.text("#gone"); !regexp.MustCompile(`Last update \d\d:\d\d:\d\d`).MatchString(said) || hand.text("h1") != session {
		t.Errorf("without the network stands %q over %q", said, hand.text("h1"))
	}
	hand.shoot("phone-without-network")
	h.open()
	hand.until(`document.querySelector("#gone").hidden`)
}

// A phone in a facility that loses the network has bays that were never in view: each says
// so in its place, until they come. Once the page is kept on the phone all of them are drawn, and
// are there without the network.
func TestUndrawnBaysWithoutNetwork(t *testing.T) {
	looks(t)
	t.Parallel()
	h := facility(t, 40, 4)
	v := visit(t, phone)
	v.open(h, "/")
	v.until(`document.querySelectorAll(".bay").length === 40`)
	h.stop()
	v.until(`!document.querySelector("#gone").hidden`)
	if said := v.words(`[...document.querySelectorAll("[data-show]")].map((e) => e.querySelector(".not-drawn")?.innerText ?? e.id)`); len(said) < 20 || strings.Join(slices.Compact(said), "") != "Not drawn yet: it comes when bayhand answers again." {
		t.Errorf("what is not drawn says %q", said)
	}
	v.js(`document.querySelector("[data-show]").scrollIntoView()`)
	v.shoot("phone-undrawn-without-network")
	h.open()
	v.until(`document.querySelector("#gone").hidden && !document.querySelector(".not-drawn")`)

	v.open(h, "/screens")
	v.until(`document.querySelector("#keep-here:not([hidden])")`)
	v.click("#keep-here")
	v.until(`document.querySelector("#kept").innerText.includes("kept on this device")`)
	v.open(h, "/")
	v.until(`navigator.serviceWorker.controller && !document.querySelector("[data-show]") && document.querySelector('[data-jack="bay33/t48"]')`)
	v.js(`window.whole = false`)
	v.until(`window.whole || (caches.open("bayhand-page").then((c) => c.match("/")).then((m) => m.text()).then((html) => (window.whole = html.includes("bay33/t48") && !html.includes("data-show"))), false)`)
	h.stop()
	v.run(chromedp.Navigate("http://" + h.address + "/"))
	v.until(`!document.querySelector("#gone").hidden && document.querySelector("#room").dataset.heard`)
	if v.text(".not-drawn") != "" || v.value(`String(document.querySelectorAll(".bay.undrawn").length)`) != "0" {
		t.Error("a page that is kept lacks bays")
	}
}

// The picture that a camera reads is that of the address, with four blank squares
// around it (ISO/IEC 18004, from memory).
func TestPictureForACamera(t *testing.T) {
	const finder = "M4 4h7v1h-7z" // the edge of the first of three finder patterns
	one := screensHandler{newPage(Options{Studio: heron(t).Studio})}.invitation(web.Invitation{Code: "ABCDEFGH", Role: "tick", Address: "http://192.0.2.7:7420/invite?code=ABCDEFGH"})
	if !strings.HasPrefix(one.Squares, finder) || (one.Side-8-17)%4 != 0 || one.Code != "ABCD EFGH" {
		t.Errorf("the picture is %d wide and begins %.20q; the code is %q", one.Side, one.Squares, one.Code)
	}
}
