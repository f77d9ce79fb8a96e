package keep

import (
	"time"

	"bayhand/model/phrase"
)

// How long an act waits for devices that do not answer before it is taken without
// them: for one that did not answer when it was asked last, and for one that was not
// heard of yet since the keeper began. Such a device is told of, and brought to what is
// intended once it answers.
const (
	silentPatience  = time.Second
	untriedPatience = 5 * time.Second
)

// awaits says whether an act still waits for what some device holds.
func (k *machine) awaits(a ask) bool {
	return a.fresh() && k.testSound().puttingBack() || !k.queue().awaited(a).Before(k.at)
}

// forever is later than any act waits.
const forever = 24 * time.Hour

// awaited is until when an act waits for devices; the time before now for no longer.
func (w queue) awaited(a ask) time.Time {
	until := w.at.Add(-1)
	later := func(t time.Time) {
		if t.After(until) && t.Sub(w.at) <= forever {
			until = t
		}
	}
	for i := range w.devices.all {
		h := &w.devices.all[i]
		switch {
		case !h.tried:
			later(a.came.Add(untriedPatience))
		case !a.fresh() || h.job == nil:
		case h.answers || h.job.counts():
			later(w.at.Add(forever))
		default:
			later(a.came.Add(silentPatience))
		}
	}
	return until
}

// passing is when the oldest act that waits for devices waits no longer; zero where it
// waits for one that answers or for none, and where there is no such act.
func (w queue) passing() time.Time {
	if len(w.asks.waiting) == 0 {
		return time.Time{}
	}
	until := w.awaited(w.asks.waiting[0])
	if until.Before(w.at) || until.Sub(w.at) > untriedPatience {
		return time.Time{}
	}
	return until.Add(1)
}

// passOver takes devices that were not heard of yet for silent, and says whether
// there were any.
func (k *machine) passOver() bool {
	any := false
	for i := range k.devices.all {
		h := &k.devices.all[i]
		if h.tried {
			continue
		}
		any = true
		h.tried, h.problem, h.since = true, "it has not answered yet", k.at
		x := k.exchange(h)
		if m, doubted := x.doubted(); doubted {
			k.learn(m, Event{Kind: Trouble, Matrix: h.matrix.Name, Gone: true, Text: phrase.Put("no answer: {reason}", "reason", h.problem)})
		}
	}
	return any
}
