package page

import (
	"encoding/json"
	"net/http"
	"slices"
	"strings"
	"sync"

	"bayhand/model/name"
)

// match is a point that has what was looked for.
type match struct {
	Words  string `json:"words"`
	Name   string `json:"name"`
	Behind string `json:"behind,omitempty"`
	Follow string `json:"follow"`
}

// mostFound are shown at once.
const mostFound = 12

// finder looks for points by their words, their names and what is behind them. The
// words change with the studio alone, and are put together once.
type finder struct {
	once sync.Once
	all  []sought
}

type sought struct {
	point name.Point
	text  string
}

// findHandler answers what is looked for.
type findHandler struct{ page *page }

// sought are all points of the studio that can be followed.
func (h findHandler) sought() []sought {
	h.page.finder.once.Do(func() {
		for _, at := range h.points() {
			text := h.page.words.Point(at) + " " + at.String() + " " + h.page.words.Behind(at)
			h.page.finder.all = append(h.page.finder.all, sought{at, strings.ToLower(text)})
		}
	})
	return h.page.finder.all
}

func (h findHandler) points() []name.Point {
	var all []name.Point
	for _, g := range h.page.Studio.Gear {
		for _, port := range g.Ports {
			all = append(all, port.Point)
		}
	}
	for _, b := range h.page.Studio.Bays {
		for n := 1; n <= b.Pairs(); n++ {
			all = append(all, b.TopJack(n), b.BottomJack(n))
		}
	}
	for _, m := range h.page.Studio.Matrices {
		for n := 1; n <= m.Inputs; n++ {
			all = append(all, m.In(n))
		}
		for n := 1; n <= m.Outputs; n++ {
			all = append(all, m.Out(n))
		}
	}
	return all
}

// find gives the points that have every word, those first that begin with the first.
func (h findHandler) find(typed string) []match {
	words := strings.Fields(strings.ToLower(typed))
	all := []match{}
	if len(words) == 0 {
		return all
	}
	var hits []sought
	for _, one := range h.sought() {
		if !slices.ContainsFunc(words, func(word string) bool { return !strings.Contains(one.text, word) }) {
			hits = append(hits, one)
		}
	}
	begins := func(s sought) int {
		if strings.HasPrefix(s.text, words[0]) {
			return 0
		}
		return 1
	}
	slices.SortStableFunc(hits, func(a, b sought) int { return begins(a) - begins(b) })
	for _, one := range hits[:min(len(hits), mostFound)] {
		all = append(all, match{h.page.words.Point(one.point), one.point.String(), h.page.words.Behind(one.point), asked{At: one.point}.String()})
	}
	return all
}

// showFound answers /find?q=desk+mix with a list in JSON.
func (h findHandler) showFound(w http.ResponseWriter, r *http.Request) {
	text, err := json.Marshal(h.find(r.URL.Query().Get("q")))
	if err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	sendPacked(w, r, http.StatusOK, "application/json", text)
}
