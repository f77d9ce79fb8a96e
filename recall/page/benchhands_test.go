package page

import (
	"fmt"
	"reflect"
	"testing"
	"time"

	pointer "github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// drag takes a mouse from one jack to another, or to the given place on the
// screen.
func (v *visitor) drag(from, to string) {
	v.t.Helper()
	a, b := v.inSight(from), v.where(to)
	v.mouse(pointer.DispatchMouseEventTypeMousePressed, a, 1)
	for i := range 4 {
		part := float64(i+1) / 4
		v.mouse(pointer.DispatchMouseEventTypeMouseMoved, [2]float64{a[0] + (b[0]-a[0])*part, a[1] + (b[1]-a[1])*part}, 1)
	}
	v.shoot("bench-drag")
	v.mouse(pointer.DispatchMouseEventTypeMouseReleased, b, 0)
}

func (v *visitor) mouse(kind pointer.DispatchMouseEventType, at [2]float64, buttons int64) {
	v.t.Helper()
	command(v.t, v.ctx, pointer.DispatchMouseEvent, pointer.DispatchMouseEventParams{Type: kind, X: at[0], Y: at[1], Button: pointer.MouseButtonLeft, Buttons: buttons, ClickCount: 1})
}

// where is the middle of an element on the screen.
func (v *visitor) where(selector string) [2]float64 {
	v.t.Helper()
	at, err := chromedp.Run(v.ctx, chromedp.Evaluate[[2]float64](fmt.Sprintf(
		`(() => { const r = document.querySelector(%q).getBoundingClientRect(); return [r.left + r.width / 2, r.top + r.height / 2]; })()`, selector)))
	v.must(err)
	return at
}

// inSight scrolls an element to the middle of the screen; where it is then.
func (v *visitor) inSight(selector string) [2]float64 {
	v.t.Helper()
	v.js(fmt.Sprintf(`document.querySelector(%q).scrollIntoView({block: "center", inline: "center", behavior: "instant"})`, selector))
	return v.where(selector)
}

// slide takes a finger from an element by a number of pixels.
func (v *visitor) slide(from string, right, down float64) {
	v.t.Helper()
	a := v.inSight(from)
	v.finger(pointer.DispatchTouchEventTypeTouchStart, a)
	for i := range 8 {
		part := float64(i+1) / 8
		v.finger(pointer.DispatchTouchEventTypeTouchMove, [2]float64{a[0] + right*part, a[1] + down*part})
	}
	v.finger(pointer.DispatchTouchEventTypeTouchEnd)
}

// between is how far it is from one element to another.
func (v *visitor) between(from, to string) (right, down float64) {
	v.t.Helper()
	a, b := v.where(from), v.where(to)
	return b[0] - a[0], b[1] - a[1]
}

func (v *visitor) tap(selector string) {
	v.t.Helper()
	v.inSight(selector)
	v.touch(selector)
}

// tapUntil taps an element, and taps again where nothing has come of it for long: a tap
// may fall between a page and the next.
func (v *visitor) tapUntil(selector, expression string) {
	v.t.Helper()
	for range 5 {
		v.tap(selector)
		for late := time.Now().Add(8 * time.Second); time.Now().Before(late); {
			if held, err := chromedp.Run(v.ctx, chromedp.Evaluate[bool]("!!("+expression+")")); held && err == nil {
				return
			}
		}
	}
	v.until(expression)
}

// touch taps an element where it is.
func (v *visitor) touch(selector string) {
	v.t.Helper()
	v.finger(pointer.DispatchTouchEventTypeTouchStart, v.where(selector))
	v.finger(pointer.DispatchTouchEventTypeTouchEnd)
}

func (v *visitor) finger(kind pointer.DispatchTouchEventType, at ...[2]float64) {
	v.t.Helper()
	points := []*pointer.TouchPoint{}
	for _, p := range at {
		points = append(points, &pointer.TouchPoint{X: p[0], Y: p[1]})
	}
	command(v.t, v.ctx, pointer.DispatchTouchEvent, pointer.DispatchTouchEventParams{Type: kind, TouchPoints: points})
}

// A finger on a phone drags a cord from jack to jack and off the bay, and the bay
// stands still meanwhile; beside the jacks it scrolls the bay, and two taps are
// still a cord.
func TestBenchByFinger(t *testing.T) {
	looks(t)
	t.Parallel()
	h := handsWanted(t)
	v := visit(t, phone)
	v.open(h, "/bench")
	const t25, b27, t28 = `[data-jack="main/t25"]`, `[data-jack="main/b27"]`, `[data-jack="main/t28"]`
	state := func(jack string) string { return `document.querySelector('` + jack + `').dataset.state` }
	// What is told above the bay may grow: the bay stays under the finger all the same.
	place := `((r) => [r.left, r.top])(document.querySelector('` + t25 + `').getBoundingClientRect())`
	stands := place + `.every((at, i) => Math.abs(at - window.stood[i]) < 2)`
	v.inSight(t25)
	v.js("window.stood = " + place)
	right, down := v.between(t25, b27)
	v.slide(t25, right, down)
	v.until(state(t25) + ` === "in" && ` + state(b27) + ` === "in" && ` + stands)
	// What was touched is told of over the lower half of a phone.
	away := func() { v.click("#close"); v.until(`!document.querySelector("#touched")`) }
	away()
	// The plug that is in moves to another jack.
	right, down = v.between(b27, t28)
	v.slide(b27, right, down)
	v.until(state(t28) + ` === "in" && !` + state(b27) + ` && ` + state(t25) + ` === "in"`)
	away()
	// Off the bay it is out, by a drag straight up.
	v.slide(t28, 0, -200)
	v.until(`!document.querySelector('#bays [data-state]')`)
	away()
	// Two taps.
	v.tapUntil(t25, `document.querySelector("#in-hand")`)
	v.js(`scrollBy({top: 250, behavior: "instant"})`) // above what is told
	v.touch(b27)
	v.until(state(t25) + ` === "in" && ` + state(b27) + ` === "in" && !document.querySelector("#in-hand")`)
	// Beside the jacks a finger scrolls.
	away()
	v.inSight("#bay-main .strip")
	v.js(`window.stood = document.querySelector("#scroll-main").scrollLeft`)
	v.slide("#bay-main .strip", -120, 0)
	v.until(`document.querySelector("#scroll-main").scrollLeft !== window.stood && ` + state(t25) + ` === "in"`)
	v.calm()
}

// The bench by mouse, by two touches and by the keyboard, and nothing of it
// reaches the room.
func TestBenchByHand(t *testing.T) {
	looks(t)
	t.Parallel()
	h := handsWanted(t)
	before := h.status()
	v := visit(t, desktop)
	v.open(h, "/bench")
	v.until(`document.querySelector("#practice").innerText.includes("Nothing here moves")`)
	v.shoot("bench")
	v.drag(`[data-jack="main/t25"]`, `[data-jack="main/b1"]`)
	v.until(`document.querySelector('[data-jack="main/b1"]').dataset.state === "in" && document.querySelector("#does").innerText.includes("preamplifier out 1 -> desk in 1")`)
	v.until(`document.querySelector("#does").innerText.includes("main 1, by the plug in main 1 bottom")`)
	// The plug that is in moves to another jack, and off the bay it is out.
	v.drag(`[data-jack="main/b1"]`, `[data-jack="main/b2"]`)
	v.until(`document.querySelector('[data-jack="main/b2"]').dataset.state === "in" && !document.querySelector('[data-jack="main/b1"]').dataset.state`)
	v.drag(`[data-jack="main/b2"]`, `#bays-title`)
	v.until(`!document.querySelector('#bays [data-state]')`)
	v.run(chromedp.NavigateBack())
	v.until(`document.querySelector('[data-jack="main/b2"]').dataset.state === "in"`)
	// Two touches, and a mode.
	v.click(`[data-jack="main/t2"]`)
	v.until(`document.querySelector("#in-hand") && document.activeElement.id !== "x"`)
	v.click(`[data-jack="far/t5"]`)
	v.until(`document.querySelector("#does").innerText.includes("Outputs") || document.querySelector('[data-jack="far/t5"]').dataset.state === "in"`)
	v.until(`document.querySelector("#does .says li")`)
	v.shoot("bench-rules")
	v.click("#mode-parallel")
	v.until(`document.querySelector("#bays").innerText.includes("far 5 is parallel")`)
	// The keyboard: Enter twice, and Delete.
	v.js(`document.querySelector('[data-jack="main/t1"]').focus()`)
	v.run(chromedp.KeyEvent(kb.Enter))
	v.until(`document.querySelector("#in-hand")`)
	v.run(chromedp.KeyEvent(kb.ArrowRight), chromedp.KeyEvent(kb.ArrowRight), chromedp.KeyEvent(kb.ArrowDown), chromedp.KeyEvent(kb.Enter))
	v.until(`document.querySelector('[data-jack="main/b3"]').dataset.state === "in" && document.activeElement.dataset.jack === "main/b3"`)
	v.run(chromedp.KeyEvent(kb.Delete))
	v.until(`!document.querySelector('[data-jack="main/b3"]').dataset.state`)
	// A crosspoint, and what is refused.
	v.click(`[data-cross="shade/out8 shade/in1"]`)
	v.until(`document.querySelector('[data-cross="shade/out8 shade/in1"] .point') && document.querySelector("#does").innerText.includes("small loudspeaker")`)
	v.shoot("bench-crosspoint")
	v.calm()
	if now := h.status(); !reflect.DeepEqual(now.Known, before.Known) || now.Seq != before.Seq {
		t.Errorf("the room changed: %+v", now.Known)
	}
}

// A lesson from its beginning to its end, by a finger and in the dark; then what
// stands on the bench is kept as a session.
func TestLessonAndKeeping(t *testing.T) {
	looks(t)
	t.Parallel()
	h := build(t, heron(t))
	v := visit(t, phone.inTheDark())
	v.open(h, "/bench")
	v.click("#lesson-half-normal")
	v.until(`document.querySelector(".task")?.innerText.includes("1 of 2")`)
	v.shoot("lesson-phone")
	v.click(`[data-jack="main/t1"]`)
	v.until(`document.querySelector("#in-hand")`)
	v.click(`[data-jack="main/b27"]`)
	v.until(`document.querySelector("#task")?.innerText.includes("left the normal alone")`)
	v.js(`document.querySelector("#bays").scrollIntoView()`)
	v.shoot("lesson-done-phone")
	v.click("#lesson-next")
	v.until(`document.querySelector(".task")?.innerText.includes("2 of 2")`)
	v.click(`[data-jack="main/t25"]`)
	v.until(`document.querySelector("#in-hand")`)
	v.click(`[data-jack="main/b1"]`)
	v.until(`document.querySelector("#task")?.innerText.includes("preamplifier out 1 alone")`)
	v.click("#lesson-next")
	v.until(`document.querySelector("#lesson").innerText.includes("That was the lesson")`)
	v.fill("#keep-name", "from the bench")
	v.until(`document.querySelector("#refused").innerText.includes("cannot be called that")`)
	v.leaves(func() { v.fill("#keep-name", "tapped") })
	if got := <-h.captured; got != "tapped: main/t1 main/b27, main/t25 main/b1" {
		t.Errorf("kept is %q", got)
	}
	// Modes are the studio's, so a bench with others is not kept.
	v.open(h, "/bench?from=nothing&modes=main/t3~isolated")
	v.until(`!document.querySelector("#keep-name") && document.querySelector("main").innerText.includes("needs the modes that the studio has")`)
	// What no address can mean is said, and the bench is still there.
	v.open(h, "/bench?from=nothing&cords=main/t1~main/b99")
	v.until(`document.querySelector(".trouble[role=alert]")?.innerText.includes("no jack of this studio") && document.querySelectorAll("a[data-jack]").length === 128`)
}
