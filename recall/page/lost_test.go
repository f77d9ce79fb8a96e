package page

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync/atomic"
	"testing"

	"bayhand/recall/keep"
)

// through has every request go by a handler that may have the page answer it.
func (h *house) through(by func(w http.ResponseWriter, r *http.Request, page http.Handler)) {
	h.mu.Lock()
	defer h.mu.Unlock()
	page := h.now
	h.now = http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { by(w, r, page) })
}

// A tick arrives and its answer does not: the page does not say that it was not saved, and
// shows that it was. It is done once, also where it is said again.
func TestAnswerIsLost(t *testing.T) {
	looks(t)
	t.Parallel()
	h := build(t, heron(t))
	if _, err := h.keeper.Act(t.Context(), keep.Act{Do: keep.ToRecall, Session: "evening-listening"}); err != nil {
		t.Fatal(err)
	}
	v := visit(t, phone)
	v.open(h, "/")
	v.until(`document.querySelector("#tick-next")`)
	first := v.value(`document.querySelector("#room").dataset.next`)
	v.js(`window.said = []; new MutationObserver(() => said.push(document.getElementById("refused").textContent)).observe(document.getElementById("refused"), { childList: true })`)
	var cut atomic.Bool // once
	h.through(func(w http.ResponseWriter, r *http.Request, page http.Handler) {
		if r.URL.Path != "/do" || cut.Swap(true) {
			page.ServeHTTP(w, r)
			return
		}
		page.ServeHTTP(httptest.NewRecorder(), r)
		// A browser asks once more by itself where nothing at all came.
		w.Header().Set("Content-Length", "100")
		if err := http.NewResponseController(w).Flush(); err != nil {
			t.Error(err)
		}
		panic(http.ErrAbortHandler) // the connection ends here
	})
	v.click("#tick-next")
	v.until(fmt.Sprintf(`document.querySelector("#room").dataset.next !== %q`, first))
	v.until(`document.querySelector("#told").innerText.includes("saved if the page shows it") && document.querySelector("#refused").hidden`)
	if said := strings.Join(v.words(`said`), " "); strings.Contains(said, "not saved") || !strings.Contains(said, "this may not be saved") {
		t.Errorf("where no answer came it said %q", said)
	}
	s, err := h.keeper.Status(t.Context())
	if err != nil || len(s.Done) == 0 || s.Done[len(s.Done)-1].ID != first {
		t.Errorf("done are %v, %v", s.Done, err)
	}
	next := v.value(`document.querySelector("#room").dataset.next`)
	v.click("#tick-next")
	v.until(fmt.Sprintf(`document.querySelector("#room").dataset.next !== %q`, next))
	v.until(`document.querySelector("#told").hidden || !document.querySelector("#told").innerText.includes("saved if")`)
}

// A network that is gone without a word, so that neither a view nor an end of the stream
// comes, is told by its silence: the page no longer looks current. It goes on by itself.
func TestSilentNetwork(t *testing.T) {
	looks(t)
	t.Parallel()
	h := build(t, heron(t))
	v := visit(t, phone)
	var heard atomic.Bool
	over := make(chan struct{})
	h.through(func(w http.ResponseWriter, r *http.Request, page http.Handler) {
		switch {
		case r.URL.Path == "/changes" && !heard.Load():
			w.Header().Set("Content-Type", "text/event-stream; charset=utf-8")
			fmt.Fprint(w, "event: beat\ndata: 200\n\n")
			if err := http.NewResponseController(w).Flush(); err != nil {
				t.Error(err)
			}
			select {
			case <-over:
			case <-r.Context().Done():
			}
		default:
			page.ServeHTTP(w, r)
		}
	})
	v.open(h, "/")
	v.until(`!document.querySelector("#gone").hidden && document.querySelector("#gone").innerText.includes("Connection lost. Last update")`)
	heard.Store(true)
	close(over)
	v.until(`document.querySelector("#gone").hidden`)
}
