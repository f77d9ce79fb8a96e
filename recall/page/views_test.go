package page

import (
	"testing"
	"time"

	"bayhand/model/patch"
	"bayhand/recall/keep"
)

// aView is an address of the page, at a house that has something to show there. Beside
// says that its bays and matrices look as those of other views.
type aView struct {
	called string
	at     *house
	path   string
	beside bool
}

// everyView are all views of the page, and what several of them are in its states.
func everyView(t testing.TB) []aView {
	t.Helper()
	beginning := build(t, keep.Files{})
	beginning.laying = heron(t)
	beginning.look()
	h := handsWanted(t)
	h.others = []HouseRoom{{Room: "boathouse", Host: "north", Page: "http://127.0.0.1:1", Session: "tern-mix-2", Phase: keep.Waiting, At: time.Now()}, {Room: "loft", Host: "south", At: time.Now(), News: Silent, Notes: []string{"host south has another studio file (0123abcd) than the hosts go by (4567cdef, from host north)"}}}
	h.lines = []HouseLine{{Name: "talkback", From: HouseEnd{Room: "boathouse", Session: "tern-mix-2", Uses: true, Phase: keep.Waiting}, To: HouseEnd{Room: "loft"}}}
	drawable(t, h)
	h.say(Finding{Severity: "error", File: "studio.yaml", Line: 3, Column: 3, Message: "is no key", Source: "  gera:", At: 3},
		Finding{Severity: "advice", File: "sessions/a.yaml", Line: 3, Column: 3, Message: "could be shorter", Source: "  - a/out1 -> b/in1", At: 3})
	ears := newEarHouse(t)
	ears.plugged(patch.Patch{}, [2]string{"main/t2", "main/b1"})
	return []aView{
		{"touched", h, "/?at=main/t1", false},
		{"hands", h, "/hands", true},
		{"what-if", h, "/?hand=if&from=main/t1&to=main/t2", true},
		{"entering", h, "/?hand=plug&from=main/t1", true},
		{"crosspoint", h, "/?at=speakers/in1&size=large", true},
		{"sessions", h, "/sessions", true},
		{"session", h, "/sessions/evening-listening", true},
		{"rest", h, "/sessions/rest", true},
		{"happened", h, "/happened", true},
		{"screens", h, "/screens", true},
		{"files", h, "/files", true},
		{"draw", h, "/draw", true},
		{"design", h, "/design", true},
		{"rooms", h, "/rooms", true},
		{"soundless", h, "/listen", true},
		{"nowhere", h, "/nowhere", true},
		{"first-start", beginning, "/files", true},
		{"listen", ears.house, "/listen", true},
		{"lesson", h, "/bench?lesson=parallel&task=1&modes=main/t1~parallel&cords=main/t25~main/b1", true},
		{"bench", h, "/bench?from=rest&cords=main/t2~far/t5&hand=main/t2", false},
		{"bench-refused", h, "/bench?do=plug&a=main/t1&b=main/t1", true},
	}
}
