package page

import (
	"net/http/httptest"
	"regexp"
	"strings"
	"testing"
	"time"

	"bayhand/model/name"
	"bayhand/recall/keep"
)

// A matrix that no device is named for is switched by a person: its step is counted with
// those for hands, comes next on the page and at the foot switch, and can be ticked.
func TestMatrixByHandIsTicked(t *testing.T) {
	s := boathouse(t)
	s.Matrices[0].Device = nil
	room := status(t)
	room.Left, room.Matrices = room.Left[:1], []keep.MatrixStatus{{Name: "grid"}}
	room.Left[0].After = nil
	h := New(Options{Room: &fake{status: room}, Studio: s, Zone: time.UTC, Title: func(string) string { return "" }})
	for _, path := range []string{"/", "/hands"} {
		_, html := ask(t, h, httptest.NewRequest("GET", path, nil))
		html = regexp.MustCompile(`<span class="whole">([^<]*)</span>`).ReplaceAllString(html, "$1")
		for _, want := range []string{"the grid", "in 3 -&gt; out 2, out 4 off", `name="id" value="7"`, "steps to do by hand"} {
			if !strings.Contains(html, want) {
				t.Errorf("%s lacks %q", path, want)
			}
		}
		if strings.Contains(html, "switches") {
			t.Errorf("%s says that the matrix switches by itself", path)
		}
	}
}

// Outputs that are joined are said on every view of the room until the cord is out, also
// where nothing but the next move stands.
func TestHarmIsOnEachView(t *testing.T) {
	t.Parallel()
	h := handsWanted(t)
	act := func(a keep.Act) {
		t.Helper()
		if _, err := h.keeper.Act(t.Context(), a); err != nil {
			t.Fatal(err)
		}
	}
	said := func(want bool) {
		t.Helper()
		for _, path := range []string{"/", "/hands", "/happened"} {
			_, html := ask(t, h.now, httptest.NewRequest("GET", path, nil))
			html = regexp.MustCompile(`<span class="whole">([^<]*)</span>`).ReplaceAllString(html, "$1")
			if got := strings.Contains(html, "Outputs are joined, which can damage them: interface out 7, interface out 8"); got != want {
				t.Errorf("%s says that outputs are joined: %v, want %v", path, got, want)
			}
		}
	}
	a, b := name.At("main", "t", 7), name.At("main", "t", 8)
	said(false)
	act(keep.Act{Do: keep.Plugged, A: a, B: b})
	said(true)
	act(keep.Act{Do: keep.Pulled, A: a})
	said(false)
}
