package page

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"bayhand/model/studio"
	"bayhand/recall/keep"
)

func TestRoomsOfTheHouse(t *testing.T) {
	cut := time.Time{}
	rooms := []HouseRoom{
		{Room: "live", Host: "north", Page: "http://north:7420", Session: "heron", Phase: keep.Given, At: time.Date(2031, 5, 4, 10, 20, 30, 0, time.UTC)},
		{Room: "mix", Host: "south"},
	}
	o := Options{Room: &fake{status: status(t)}, Studio: &studio.Studio{Name: "Bench"}, Zone: time.UTC, House: func() ([]HouseRoom, time.Time) { return rooms, cut }}
	page := looked(New(o), "/rooms")
	for _, want := range []string{`<a href="http://north:7420">live</a>`, "heron: ", "on north, told 2031-05-04 10:20:30", "<h3>mix</h3><p>nothing announced yet</p>", `<a href="/rooms" aria-current="page">Rooms</a>`} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %q:\n%s", want, page)
		}
	}
	if strings.Contains(page, "not reached") {
		t.Error("the house is said to be cut off")
	}
	cut = time.Date(2031, 5, 4, 14, 2, 0, 0, time.UTC)
	if page := looked(New(o), "/rooms"); !strings.Contains(page, "The house is not reached since 14:02") {
		t.Errorf("the page does not say that it is cut off:\n%s", page)
	}
	o.House = nil
	if page := looked(New(o), "/rooms"); !strings.Contains(page, "Nothing stands at this address") {
		t.Error("one host alone has rooms of a house")
	}
}

func looked(h http.Handler, at string) string {
	w := httptest.NewRecorder()
	h.ServeHTTP(w, httptest.NewRequest(http.MethodGet, at, nil))
	return w.Body.String()
}
