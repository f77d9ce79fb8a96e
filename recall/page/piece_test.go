package page

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"bayhand/model/name"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/recall/keep"
	"bayhand/recall/web"
)

func marked(text string) *piece {
	return cut([]byte(strings.NewReplacer("]", ended, "[a", begins+"a"+ends, "[b", begins+"b"+ends, "[c", begins+"c"+ends).Replace(text)))
}

// What is another is sent, and nothing else: the innermost piece that has changed,
// the order of a list, what is new to it.
func TestPiecesThatChanged(t *testing.T) {
	for _, c := range []struct {
		before, after string
		want          []fresh
	}{
		{"x[a1]y", "x[a1]y", []fresh{}},
		{"x[a1]y", "z[a1]y", []fresh{}}, // what is in no piece is never sent
		{"[a1]", "[a2]", []fresh{{ID: "a", HTML: "2"}}},
		{"[a1[b2]3]", "[a1[b4]3]", []fresh{{ID: "b", HTML: "4"}}},
		{"[a1[b2]3]", "[a4[b2]3]", []fresh{{ID: "a", HTML: "423"}}},
		{"[a1[b2][c3]]", "[a1[c3]]", []fresh{{ID: "a", Order: []string{"c"}}}},
		{"[a1[b2]]", "[a1[c3][b2]]", []fresh{{ID: "c", HTML: "3"}, {ID: "a", Order: []string{"c", "b"}}}},
		{"[a1[b2]]", "[a1]", []fresh{{ID: "a", HTML: "1"}}},
		{"[a1<!-- no mark -->]", "[a1<!-- no mark -->]", []fresh{}},
	} {
		has := map[string]known{}
		marked(c.before).note(has)
		if diff := cmp.Diff(c.want, marked(c.after).since(has, []fresh{})); diff != "" {
			t.Errorf("%s to %s: %s", c.before, c.after, diff)
		}
	}
	if got := string(marked("x[a1[b2]3]y<!-- c -->").html); got != "x123y<!-- c -->" {
		t.Errorf("without marks it is %q", got)
	}
}

// A view that nobody remembers is sent whole, and so is every page of who asks for
// no pieces.
func TestViewsAreForgotten(t *testing.T) {
	h := served(t, &fake{status: status(t)})
	ask := func(view string) string {
		r := httptest.NewRequest(http.MethodGet, "/", nil)
		r.Header.Set(web.ViewHeader, view)
		answer, body := ask(t, h, r)
		kind, _, _ := strings.Cut(answer.Header.Get("Content-Type"), ";")
		if strings.Contains(body, begins) || strings.Contains(body, ended) {
			t.Error("a mark is sent")
		}
		if kind == "application/json" {
			var s since
			if err := json.Unmarshal([]byte(body), &s); err != nil || s.Room["view"] == "" || len(s.Pieces) != 0 {
				t.Errorf("%v: %s", err, body)
			}
			return s.Room["view"]
		}
		_, after, _ := strings.Cut(body, `data-view="`)
		now, _, _ := strings.Cut(after, `"`)
		return "whole " + now
	}
	first := ask("")
	if !strings.HasPrefix(first, "whole ") || !strings.HasPrefix(ask("made up"), "whole ") {
		t.Error("a view that nobody knows is not sent whole")
	}
	first = strings.TrimPrefix(first, "whole ")
	if second := ask(first); strings.HasPrefix(second, "whole") || second == first {
		t.Errorf("what did not change is sent whole: %s", second)
	}
	for range mostSent {
		ask("")
	}
	if !strings.HasPrefix(ask(first), "whole ") {
		t.Error("too many views are remembered")
	}
}

// asWhole compares what is shown with the page as it comes whole.
const asWhole = `fetch(location.pathname + location.search).then((a) => a.text()).then((text) => {
	const plain = (room) => {
		const copy = room.cloneNode(true);
		copy.querySelector("#over")?.remove();
		for (const e of [copy, ...copy.querySelectorAll("*")]) for (const a of ["data-view", "open", "aria-disabled", "tabindex"]) e.removeAttribute(a);
		for (const [key, value] of Object.entries(copy.dataset)) if (!value) delete copy.dataset[key];
		for (const e of copy.querySelectorAll("svg")) e.removeAttribute("style");
		return copy.outerHTML.replace(/>\s+/g, ">").replace(/\s+</g, "<");
	};
	const whole = plain(new DOMParser().parseFromString(text, "text/html").querySelector("#room")), shown = plain(document.querySelector("#room"));
	for (let n = 0; n < Math.max(whole.length, shown.length); n++) if (whole[n] !== shown[n]) return [shown.slice(Math.max(n - 80, 0), n + 80), whole.slice(Math.max(n - 80, 0), n + 80)];
	return [];
})`

// sameAsWhole waits until what is shown is what the whole page would show: a device may
// have said something since the view came.
func (v *visitor) sameAsWhole(when string) {
	v.t.Helper()
	var found []string
	for until := time.Now().Add(patience); time.Now().Before(until); {
		found = v.awaited(asWhole)
		if len(found) == 0 || strings.Contains(strings.Join(found, ""), "undrawn") {
			return
		}
	}
	v.t.Errorf("%s, it shows\n%s\nand not\n%s", when, found[0], found[1])
}

// Through a whole session, tick by tick and back, with jacks touched between: what
// is shown piece by piece is what the whole page would show.
func TestPiecesAddUp(t *testing.T) {
	looks(t)
	t.Parallel()
	h := handsWanted(t)
	v := visit(t, desktop)
	v.open(h, "/")
	v.js(`window.stays = true`)
	same := v.sameAsWhole
	for n := range 20 {
		if h.status().Phase == keep.Given {
			break
		}
		next := v.next()
		v.click("#tick-next")
		v.until(fmt.Sprintf(`document.querySelector("#room").dataset.next !== %q`, next))
		same(fmt.Sprint("after tick ", n))
		if n == 2 {
			v.click(`[data-jack="main/t17"]`)
			v.until(`document.querySelector("#touched")`)
			same("with a jack touched")
			v.click("#close")
			v.until(`!document.querySelector("#touched")`)
			v.click("#else")
			v.until(`document.querySelector("#entering")`)
			same("while a cord is entered")
			v.click("#cancel")
			v.until(`!document.querySelector("#entering")`)
			v.click("#undo")
			v.until(fmt.Sprintf(`document.querySelector("#room").dataset.next === %q`, next))
			same("after an undo")
		}
	}
	v.until(`window.stays`)
	v.open(h, "/bench?from=rest")
	v.js(`window.stays = true`)
	for n, do := range []string{`[data-jack="main/t1"]`, `[data-jack="main/b25"]`, `[data-jack="main/t3"]`, "#close", `.spot`, "#lesson-parallel"} {
		before := v.words(`[location.href]`)[0]
		v.click(do)
		v.until(fmt.Sprintf(`location.href !== %q && !location.search.includes("do=")`, before))
		same(fmt.Sprint("on the bench after ", n, " ", do))
	}
	v.until(`window.stays`)
	v.calm()
}

// facility is the room of bays with matrices beside, and waits for some cords.
func facility(t testing.TB, count, matrices int) *house {
	t.Helper()
	files := bays(count)
	s := files.Studio
	s.Stock.Unlimited = true
	take := &session.Session{Name: "take", Title: "Take", Program: -1}
	for n := range 6 {
		in := name.At("wall", "in", n+1)
		s.Gear[0].Ports = append(s.Gear[0].Ports, studio.Port{Point: in, Direction: studio.Input, Line: studio.BuiltInLines()[0]})
		s.Wires = append(s.Wires, studio.Wire{From: s.Bays[n*(count-1)/5].BottomJack(48 - n), To: in})
		take.Wants = append(take.Wants, session.Want{Source: name.At("wall", "out", 5+4*n), Destination: in})
	}
	for n := range matrices {
		s.Matrices = append(s.Matrices, studio.Matrix{Name: fmt.Sprintf("grid%d", n+1), Inputs: 64, Outputs: 64, Kind: studio.Contacts})
	}
	files.Sessions = map[string]*session.Session{"take": take}
	h := build(t, files)
	if _, err := h.keeper.Act(context.Background(), keep.Act{Do: keep.ToRecall, Session: "take"}); err != nil {
		t.Fatal(err)
	}
	return h
}

// cost is what the browser was sent, in bytes as they came, and how long its main
// thread was at work, in milliseconds.
type cost struct{ bytes, work float64 }

// spent is what something costs in the browser.
func (v *visitor) spent(do func()) (c cost) {
	v.t.Helper()
	bytes := func() float64 {
		v.mu.Lock()
		defer v.mu.Unlock()
		return v.bytes
	}
	before := bytes()
	c.work = v.traced(do)
	c.bytes = bytes() - before
	return c
}

// A facility of 40 bays and 16 matrices: what the first look and a tick take, and a look
// at the bench and a cord on it, beside what they take of the demo. Bytes are bounded;
// times, which are read from the browser's trace, are reported as ratios. No test runs
// beside it, as they would be in the trace.
func TestFacilityIsLight(t *testing.T) {
	looks(t)
	of := func(h *house) (all [4]cost) {
		v := visit(t, desktop)
		v.open(h, "/sessions") // let in
		all[0] = v.spent(func() {
			v.open(h, "/")
			v.until(`document.querySelector("#tick-next")`)
		})
		const ticks = 3
		tick := v.spent(func() {
			for range ticks {
				next := v.text("#next .number")
				v.click("#tick-next")
				v.until(fmt.Sprintf(`document.querySelector("#room").dataset.next !== %q`, next))
			}
		})
		all[1] = cost{tick.bytes / ticks, tick.work / ticks}
		all[2] = v.spent(func() {
			v.open(h, "/bench?from=rest")
			v.until(`document.querySelector("#bays a[data-jack]")`)
		})
		jack := v.words(`[...document.querySelectorAll("#bays a[data-jack]")].slice(0, 4).map((j) => j.dataset.jack)`)
		all[3] = v.spent(func() {
			v.js(`{ const address = "/bench?do=plug&a=` + jack[0] + `&b=` + jack[3] + `"; const a = document.createElement("a"); a.href = address; document.querySelector("#main").append(a); a.click(); }`)
			v.until(`document.querySelectorAll('#bays a[data-state="in"]').length === 2`)
		})
		v.calm()
		return all
	}
	demo, large := of(handsWanted(t)), of(facility(t, 40, 16))
	for i, called := range []string{"the first look", "a tick", "a look at the bench", "a cord on the bench"} {
		t.Logf("%s: %.0f bytes, %.2f of the demo's; the main thread %.2f of the demo's (%.0f ms of it, of this machine), %.2f of the first look", called, large[i].bytes, large[i].bytes/demo[i].bytes, large[i].work/demo[i].work, large[i].work, large[i].work/large[0].work)
		// A look brings all, an act what is changed.
		if most := []float64{100_000, 10_000}[i%2]; large[i].bytes > most || demo[i].bytes > most {
			t.Errorf("%s takes %.0f bytes, in the demo %.0f", called, large[i].bytes, demo[i].bytes)
		}
	}
}

// A bay of a large room is drawn when it comes into view, and the map leads to it.
func TestBaysComeIntoView(t *testing.T) {
	looks(t)
	t.Parallel()
	h := facility(t, 40, 4)
	v := visit(t, desktop)
	v.open(h, "/")
	v.until(`document.querySelectorAll(".finder a").length === 40 && document.querySelectorAll(".bay").length === 40`)
	if drawn := v.words(`[...document.querySelectorAll(".bay:not(.undrawn)")].map((b) => b.id)`); len(drawn) > 12 {
		t.Errorf("%d bays are drawn before anybody looks", len(drawn))
	}
	v.js(`document.querySelector('.finder a[href="#bay-bay33"]').click()`)
	v.until(`document.querySelector('[data-jack="bay33/t48"]')`)
	v.js(`document.querySelector("#matrix-grid4").scrollIntoView()`)
	v.until(`document.querySelector("#row-grid4-64")`)
	v.click(`[data-jack="bay33/t48"]`)
	v.until(`document.querySelector("#touched") && document.querySelector('[data-jack="bay33/t48"]').classList.contains("lit")`)
	v.sameAsWhole("of a facility")
	v.shoot("facility")
	v.calm()
}
