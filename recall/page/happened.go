package page

import (
	"cmp"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"bayhand/recall/keep"
	"bayhand/recall/words"
)

// happenedView is the view of the past and of how everything is doing.
type happenedView struct {
	frame
	Problems []problem
	// Grave is true where a problem is more than advice.
	Grave   bool
	Devices []device
	Recalls []recalled
	// Older is the number to look before; 0 where there is nothing older.
	Older uint64
}

// device is a matrix, or the bays, with how what is known of it is known.
type device struct {
	Label, State, Link, Identity, Problem string
	Facts                                 []string
}

type event struct {
	When, What, Kind string
}

// historyHandler is the view of how the room is and of what happened.
type historyHandler struct{ page *page }

func (h historyHandler) showHappened(w http.ResponseWriter, r *http.Request) {
	status, err := h.page.Room.Status(r.Context())
	v := &happenedView{frame: h.page.frame(status, "happened"), Problems: teller(h).problems(status)}
	v.Heading = "Status and history"
	v.Grave = slices.ContainsFunc(v.Problems, func(q problem) bool { return q.Severity != "advice" })
	if err != nil {
		v.Trouble = words.Put("The room cannot be read: {reason}", "reason", err.Error())
		write(w, r, http.StatusServiceUnavailable, "happened.html", v)
		return
	}
	v.Devices = h.devices(status)
	before, _ := strconv.ParseUint(r.URL.Query().Get("before"), 10, 64) // none is the newest
	if err := h.past(v, before); err != nil {
		v.Trouble = words.Put("The history cannot be read: {reason}", "reason", err.Error())
	}
	write(w, r, http.StatusOK, "happened.html", v)
}

// told is an event in a sentence: at which matrix and step, and what came of it.
func (h historyHandler) told(e keep.Event) string {
	text := h.page.words.Said(e.Text)
	switch {
	case e.Kind == keep.WasGiven:
		return words.Put("{session}: ready", "session", h.page.title(e.Session))
	case e.Step != nil && e.Kind == keep.WasRead:
		text = words.Put("{step}: {outcome}", "step", h.stepOf(e), "outcome", words.ReadBack(e))
	case e.Step != nil:
		text = h.stepOf(e) + ": " + cmp.Or(cameOf[e.Kind], text)
	}
	if e.Matrix != "" {
		text = h.page.words.Owner(e.Matrix) + ": " + text
	}
	return text
}

// cameOf is what came of a step.
var cameOf = map[keep.Kind]string{
	keep.Sending: "about to be sent", keep.WasSent: "sent, not confirmed",
	keep.StepDone: "done", keep.StepNot: "not done after all",
}

// stepOf is the step of an event in words.
func (h historyHandler) stepOf(e keep.Event) string {
	line := h.page.words.Line(*e.Step)
	what := line.Verb + " " + line.Action.String()
	if len(line.Switching) > 0 {
		what = strings.Join(line.Switching, ", ")
	}
	return words.Put("step {id}: {what}", "id", line.ID, "what", what)
}

func (h historyHandler) devices(s keep.Status) []device {
	var all []device
	for _, m := range s.Matrices {
		d := device{Label: h.page.words.Owner(m.Name), State: words.Matrix(m), Link: words.Clean(m.Link), Identity: words.Clean(m.Identity), Problem: words.Clean(m.Problem)}
		var facts []keep.Fact
		for _, c := range s.Known.Crosspoints {
			if c.Output.Owner == m.Name {
				facts = append(facts, c.Fact)
			}
		}
		d.Facts = h.tally(facts, "output")
		all = append(all, d)
	}
	plugs, _ := s.Known.Facts()
	if len(h.page.Studio.Bays) > 0 {
		bays := device{Label: "The bays", State: "no read-back: known as people report it", Facts: h.tally(plugs, "cord, gear cable or dummy plug")}
		if len(plugs) == 0 {
			bays.Facts = []string{"no plug is known to be in"}
		}
		all = append(all, bays)
	}
	return all
}

// tally counts facts by how they are known, with the oldest and newest time.
func (h historyHandler) tally(facts []keep.Fact, thing string) []string {
	var all []string
	for _, how := range keep.Hows {
		count := 0
		var first, last time.Time
		for _, f := range facts {
			if f.How != how {
				continue
			}
			if count == 0 || f.Since.Before(first) {
				first = f.Since
			}
			if f.Since.After(last) {
				last = f.Since
			}
			count++
		}
		if count == 0 {
			continue
		}
		from, to := h.page.clock(first), h.page.clock(last)
		text := "{things}: {how}, {from} to {to}"
		switch {
		case from == "":
			text = "{things}: {how}"
		case from == to:
			text = "{things}: {how}, since {from}"
		}
		all = append(all, words.Put(text, "things", things(thing, count), "how", words.How(how), "from", from, "to", to))
	}
	return all
}

func things(thing string, n int) string {
	if thing == "output" {
		return words.Count(n, "1 output", "{n} outputs")
	}
	return words.Count(n, "1 "+thing, "{n} cords, gear cables or dummy plugs")
}
