package page

import (
	"context"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"bayhand/model/studio"
	"bayhand/recall/keep"
)

func TestRoomsOfTheHouse(t *testing.T) {
	at := time.Date(2031, 5, 4, 10, 20, 30, 0, time.UTC)
	house := House{Rooms: []HouseRoom{
		{Room: "live", Host: "north", Page: "http://north:7420", Session: "heron", Phase: keep.Given, At: at, News: Fresh},
		{Room: "mix", Host: "south"},
		{Room: "attic", Host: "east", Here: true, Page: "http://east:7420", Phase: keep.Idle, At: at, News: Fresh},
		{Room: "booth", Host: "west", Phase: keep.Idle, At: at, News: Silent, Notes: []string{"host west has another studio file"}},
		{Room: "hall", Host: "west", Phase: keep.Idle, At: at, News: Dated},
	}}
	o := Options{Room: &fake{status: status(t)}, Studio: &studio.Studio{Name: "Bench"}, Zone: time.UTC, House: func(context.Context) House { return house }}
	page := looked(New(o), "/rooms")
	for _, want := range []string{
		`<a href="http://north:7420">live</a>`, "heron: ", "on north, heard in the last 2 minutes",
		"<h3>mix</h3><p>nothing announced yet</p>", `<a href="/rooms" aria-current="page">Rooms</a>`,
		`<a href="/">attic</a></h3><p>no session recalled</p><p class="quiet">on east, this host</p>`,
		"on west, not heard since 2031-05-04 10:20:30: off, or cut off", `<p class="error">host west has another studio file</p>`,
		"stay as they are", "on west, told 2031-05-04 10:20:30",
	} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %q:\n%s", want, page)
		}
	}
	for _, not := range []string{"not reached", "Lines from room to room"} {
		if strings.Contains(page, not) {
			t.Errorf("the page has %q", not)
		}
	}
	house.Cut = time.Date(2031, 5, 4, 14, 2, 0, 0, time.UTC)
	if page := looked(New(o), "/rooms"); !strings.Contains(page, "The house is not reached since 2031-05-04 14:02") {
		t.Errorf("the page does not say that it is cut off:\n%s", page)
	}
	o.House = nil
	if page := looked(New(o), "/rooms"); !strings.Contains(page, "Nothing stands at this address") {
		t.Error("one host alone has rooms of a house")
	}
}

// A line from room to room says what each room has of it, and who waits for whom.
func TestLinesOfTheHouse(t *testing.T) {
	none := HouseEnd{}
	other := HouseEnd{Session: "solo", Phase: keep.Given}
	asked := HouseEnd{Session: "duet", Uses: true, Phase: keep.Waiting}
	ready := HouseEnd{Session: "duet", Uses: true, Phase: keep.Given}
	for _, test := range []struct {
		from, to HouseEnd
		want     []string
	}{
		{none, none, []string{"not in use", "mix: no session", "live: no session"}},
		{other, none, []string{"not in use", "mix: solo does not name it"}},
		{asked, none, []string{"mix waits for live", "mix: duet sends into it: cords to plug"}},
		{ready, other, []string{"mix waits for live"}},
		{ready, asked, []string{"mix waits for live", "live: duet takes it: cords to plug"}},
		{none, asked, []string{"live waits for mix"}},
		{asked, ready, []string{"live waits for mix", "live: duet takes it: ready"}},
		{other, ready, []string{"live waits for mix"}},
		{asked, asked, []string{"steps left at both ends"}},
		{ready, ready, []string{"ready at both ends"}},
	} {
		test.from.Room, test.to.Room = "mix", "live"
		o := Options{Room: &fake{status: status(t)}, Studio: &studio.Studio{Name: "Bench"}, Zone: time.UTC, House: func(context.Context) House {
			return House{Lines: []HouseLine{{Name: "talk", From: test.from, To: test.to}}}
		}}
		page := looked(New(o), "/rooms")
		for _, want := range append(test.want, "talk: ") {
			if !strings.Contains(page, want) {
				t.Errorf("of %+v the page lacks %q:\n%s", test, want, page)
			}
		}
	}
}

func looked(h http.Handler, at string) string {
	w := httptest.NewRecorder()
	h.ServeHTTP(w, httptest.NewRequest(http.MethodGet, at, nil))
	return w.Body.String()
}
