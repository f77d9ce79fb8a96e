package serve

import (
	"fmt"
	"net/http"
	"strings"

	"bayhand/recall/keep"
	"bayhand/recall/web"
)

// metrics answers with figures for whoever watches machines, in the text format
// of Prometheus, version 0.0.4.
func (h api) metrics(w http.ResponseWriter, r *http.Request) {
	status, err := h.server.room.Status(r.Context())
	if err != nil {
		fail(w, err, keep.Status{})
		return
	}
	web.BoundWriting(w)
	w.Header().Set("Content-Type", "text/plain; version=0.0.4; charset=utf-8")
	// A reader that is gone needs no answer.
	_, _ = w.Write([]byte(figures(status)))
}

var phases = []keep.Phase{keep.Idle, keep.Pushing, keep.Waiting, keep.Given, keep.Stuck}

// figures are a status as numbers.
func figures(s keep.Status) string {
	var f sheet
	f.head("bayhand_phase", "1 for the phase that the room is in.")
	for _, p := range phases {
		f.line("bayhand_phase", "phase", string(p), one(p == s.Phase))
	}
	f.head("bayhand_steps_left", "Steps that are left of the recall.")
	byHand, byDevice := 0, 0
	for _, step := range s.Left {
		if step.By == "person" {
			byHand++
		} else {
			byDevice++
		}
	}
	f.line("bayhand_steps_left", "by", "person", byHand)
	f.line("bayhand_steps_left", "by", "device", byDevice)
	f.head("bayhand_matrix_answers", "1 for each driven matrix that answers.")
	for _, m := range s.Matrices {
		if m.Driven {
			f.line("bayhand_matrix_answers", "matrix", m.Name, one(m.Answers))
		}
	}
	f.head("bayhand_problems", "Problems that are shown.")
	counts := map[string]int{}
	for _, p := range s.Problems {
		counts[p.Severity]++
	}
	for _, severity := range []string{"error", "warning", "advice"} {
		f.line("bayhand_problems", "severity", severity, counts[severity])
	}
	f.head("bayhand_recalls", "Recalls since the journal was begun.")
	fmt.Fprintf(&f.Builder, "bayhand_recalls %d\n", s.Recall)
	return f.String()
}

type sheet struct{ strings.Builder }

func (f *sheet) head(name, help string) {
	fmt.Fprintf(&f.Builder, "# HELP %s %s\n# TYPE %s gauge\n", name, help, name)
}

// labelText is what the format asks to be escaped in a label.
var labelText = strings.NewReplacer(`\`, `\\`, "\n", `\n`, `"`, `\"`)

func (f *sheet) line(name, label, value string, n int) {
	fmt.Fprintf(&f.Builder, "%s{%s=\"%s\"} %d\n", name, label, labelText.Replace(value), n)
}

func one(is bool) int {
	if is {
		return 1
	}
	return 0
}
