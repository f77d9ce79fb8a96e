package keep

import (
	"context"
	"slices"
	"time"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

// Reporter is a Matrix that says by itself when somebody turns it by hand.
type Reporter interface {
	// Report waits for what the device says unasked. It is called beside the
	// other methods, and ends with the context, with Close, or when there will be
	// no more reports.
	Report(ctx context.Context) (Report, error)
}

// Report is what a device said by itself. It need not say everything: a device
// that can be asked is asked.
type Report struct {
	// Closed are crosspoints that are closed now.
	Closed []patch.Crosspoint
	// Off are outputs that listen to nothing now.
	Off []name.Point
}

// reportGap is how long a device that has said something is not listened to: one
// that never stops talking must not keep the keeper from anything else.
const reportGap = 200 * time.Millisecond

// saying is the fact that a device said something by itself.
type saying struct {
	device int
	report Report
}

// happened takes in what a device said by itself. One that can be asked is asked
// at once; what the other says counts, once nothing is on its way to it. A link that was
// just opened may say something before its first answer is there.
func (s saying) happened(k *machine) {
	if h := k.devices.numbered(s.device); h != nil && (h.answers || h.job != nil) {
		k.exchange(h).reported(s.report)
	}
}

func (x exchange) reported(r Report) {
	if !x.h.answers || !x.h.readsBack {
		x.h.said = append(slices.Clone(x.h.said), r)
		x.believe()
	}
	if x.h.answers && !x.h.readsBack {
		return
	}
	x.h.reported = true
	if x.h.job == nil {
		x.rest()
	}
}

// believe takes what a device that cannot be asked said for what it holds, not what one
// said that has gone since. Of
// contacts a report is only a part of what an output may be joined with, and
// says nothing for certain.
func (x exchange) believe() {
	if x.h.job != nil || len(x.h.said) == 0 {
		return
	}
	said := x.h.said
	x.h.said = nil
	if x.h.matrix.Kind != studio.Amplifiers || !x.h.answers || x.h.readsBack {
		return
	}
	m := x.memory
	m.Known = m.Known.clone()
	var fresh []name.Point
	for _, r := range said {
		fresh = append(fresh, m.Known.hearsay(r, x.fact(Read))...)
	}
	if len(fresh) == 0 {
		return
	}
	slices.SortFunc(fresh, name.Point.Compare)
	fresh = slices.Compact(fresh)
	x.learn(m, Event{Kind: WasRead, Matrix: x.h.matrix.Name, Changes: m.Known.changes(fresh), Text: phrase.Put("reported by the device: {crosspoints}", "crosspoints", readText(m.Known, fresh))})
	x.drift(false, x.memory.Intent)
}

// hearsay makes outputs listen to what a report says, and gives those of which
// something is new.
func (k *Known) hearsay(r Report, fact Fact) []name.Point {
	var fresh []name.Point
	for _, c := range r.Closed {
		if k.set(c.Output, []name.Point{c.Input}, fact) {
			fresh = append(fresh, c.Output)
		}
	}
	for _, o := range r.Off {
		if k.set(o, nil, fact) {
			fresh = append(fresh, o)
		}
	}
	return fresh
}
