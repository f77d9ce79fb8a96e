package page

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"bayhand/model/name"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/recall/keep"
)

// bays is a studio of nothing but bays of 48 pairs, in racks of ten.
func bays(count int) keep.Files {
	s := &studio.Studio{Name: "Many bays"}
	modes := make([]studio.Mode, 48)
	for i := range modes {
		modes[i] = studio.HalfNormal
	}
	gear := studio.Gear{Name: "wall"}
	for n := 1; n <= count; n++ {
		b := studio.Bay{Name: fmt.Sprintf("bay%d", n), Modes: modes, Jack: studio.Bantam}
		for pair := 1; pair <= len(modes); pair++ {
			out := name.At("wall", "out", (n-1)*len(modes)+pair)
			gear.Ports = append(gear.Ports, studio.Port{Point: out, Direction: studio.Output, Line: studio.BuiltInLines()[0]})
			s.Wires = append(s.Wires, studio.Wire{From: out, To: b.TopJack(pair)})
		}
		s.Bays = append(s.Bays, b)
	}
	s.Gear = []studio.Gear{gear}
	return keep.Files{Studio: s}
}

// Ten bays of 48 pairs: cords are plugged from the first to the last, every jack
// can be touched, and its way is lit.
func TestTenBays(t *testing.T) {
	looks(t)
	t.Parallel()
	h := cordsWanted(t, 10)
	v := visit(t, desktop)
	v.open(h, "/")
	for range 12 {
		if h.status().Phase == keep.Given {
			break
		}
		next := v.text("#next .number")
		v.click("#tick-next")
		v.until(fmt.Sprintf(`document.querySelector("#room").dataset.next !== %q`, next))
	}
	v.until(`document.querySelector("#room").dataset.phase === "given"`)
	v.until(`document.querySelectorAll("[data-jack]").length === 960`)
	v.click(`[data-jack="bay10/t48"]`)
	v.until(`document.querySelector("#touched")?.innerText.includes("wall out 480 -> bay10 jack 48 top")`)
	v.until(`document.querySelector('[data-jack="bay10/t48"]').classList.contains("lit")`)
	v.shoot("ten-bays")
	v.calm()
}

// weighs is how many bytes a browser is sent for an address.
func weighs(t testing.TB, h http.Handler, path string) int {
	t.Helper()
	r := httptest.NewRequest(http.MethodGet, path, nil)
	r.Header.Set("Accept-Encoding", "gzip")
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	if w.Code != http.StatusOK {
		t.Fatalf("%s answers %d", path, w.Code)
	}
	return w.Body.Len()
}

// All that the first look asks for fits into 100 000 bytes, over the demo with
// everything to do and over a facility.
func TestPageIsLight(t *testing.T) {
	looks(t)
	for called, h := range map[string]*house{"demo": handsWanted(t), "facility": facility(t, 40, 16)} {
		handler := h.page(h.keeper)
		all := weighs(t, handler, "/")
		t.Logf("%s: %d bytes", called, all)
		for file := range assets() {
			if strings.HasSuffix(file, ".png") {
				continue // only who installs the page asks for it
			}
			all += weighs(t, handler, "/page/"+file)
		}
		t.Logf("%s, in all: %d bytes", called, all)
		if all > 100_000 {
			t.Errorf("%s takes %d bytes", called, all)
		}
	}
}

// BenchmarkFirstPaint reports when something useful is on the screen, as the
// browser counts it (W3C Paint Timing, first-contentful-paint).
func BenchmarkFirstPaint(b *testing.B) {
	for _, test := range []struct {
		called string
		files  keep.Files
	}{{"demo", heron(b)}, {"forty bays", bays(40)}} {
		b.Run(test.called, func(b *testing.B) {
			h := build(b, test.files)
			v := visit(b, desktop)
			total, count := 0.0, 0
			for range b.N {
				v.open(h, "/")
				v.until(`performance.getEntriesByName("first-contentful-paint").length > 0`)
				at, err := chromedp.Run(v.ctx, chromedp.Evaluate[float64](`performance.getEntriesByName("first-contentful-paint")[0].startTime`))
				v.must(err)
				total, count = total+at, count+1
			}
			b.ReportMetric(total/float64(count), "ms-to-paint")
			b.ReportMetric(float64(weighs(b, h.page(h.keeper), "/")), "page-bytes")
		})
	}
}

// BenchmarkTickToTheOtherScreen reports how long it takes from a finger on one
// screen until the other one shows the move after. What it compares with is the
// fetching and drawing of the same page alone, in the same run.
func BenchmarkTickToTheOtherScreen(b *testing.B) {
	for _, test := range []struct {
		called string
		house  func() *house
	}{
		{"demo", func() *house { return handsWanted(b) }},
		{"forty bays", func() *house { return cordsWanted(b, 40) }},
	} {
		b.Run(test.called, func(b *testing.B) {
			h := test.house()
			one, two := visit(b, desktop), visit(b, phone)
			one.open(h, "/")
			two.open(h, "/")
			var tick, alone time.Duration
			n := 0
			for b.Loop() {
				n++
				next := two.text("#next .number")
				began := time.Now()
				one.click("#tick-next")
				two.until(fmt.Sprintf(`document.querySelector("#room").dataset.next !== %q`, next))
				tick += time.Since(began)
				one.until(fmt.Sprintf(`document.querySelector("#room").dataset.next !== %q`, next))
				one.click("#undo")
				two.until(fmt.Sprintf(`document.querySelector("#room").dataset.next === %q`, next))
				one.until(fmt.Sprintf(`document.querySelector("#room").dataset.next === %q`, next))
				began = time.Now()
				two.js(`window.fetched = false; import("/page/follow.js").then((m) => m.refresh()).then(() => (window.fetched = true))`)
				two.until(`window.fetched`)
				alone += time.Since(began)
			}
			b.ReportMetric(float64(tick.Milliseconds())/float64(n), "ms/tick")
			b.ReportMetric(float64(tick)/float64(alone), "x-refresh")
		})
	}
}

// cordsWanted is a house of many bays that waits for some cords.
func cordsWanted(t testing.TB, count int) *house {
	t.Helper()
	files := bays(count)
	s := files.Studio
	in := name.At("wall", "in", 1)
	s.Gear[0].Ports = append(s.Gear[0].Ports, studio.Port{Point: in, Direction: studio.Input, Line: studio.BuiltInLines()[0]})
	last := s.Bays[count-1]
	s.Wires = append(s.Wires, studio.Wire{From: last.BottomJack(48), To: in})
	other := name.At("wall", "in", 2)
	s.Gear[0].Ports = append(s.Gear[0].Ports, studio.Port{Point: other, Direction: studio.Input, Line: studio.BuiltInLines()[0]})
	s.Wires = append(s.Wires, studio.Wire{From: s.Bays[0].BottomJack(1), To: other})
	s.Stock.Unlimited = true
	files.Sessions = map[string]*session.Session{"take": {Name: "take", Title: "Take", Program: -1, Wants: []session.Want{
		{Source: name.At("wall", "out", 5), Destination: in}, {Source: name.At("wall", "out", 9), Destination: other},
	}}}
	h := build(t, files)
	if _, err := h.keeper.Act(t.Context(), keep.Act{Do: keep.ToRecall, Session: "take"}); err != nil {
		t.Fatal(err)
	}
	return h
}
