package page

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/recall/page/bench"
	"bayhand/recall/web"
	"bayhand/recall/words"
)

// practice is the bench as its address has it. Nothing of it is kept here.
type practice struct {
	bench.Setup
	// From is what it began with: rest or nothing; Lesson and Task are set while
	// one is taken, Task counting from 0.
	From, Lesson string
	Task         int
	// Hand is the jack that a cord or plug was taken in hand at, At the point that
	// is followed.
	Hand, At name.Point
}

// Where a bench begins. That of the room as it is now is copied into the address,
// and compared with rest.
const (
	fromRest    = "rest"
	fromNothing = "nothing"
	fromNow     = "now"
)

// benchHandler is the view of the practice bench, and what hands do on it.
type benchHandler struct{ page *page }

// practised reads the address. What does not fit ends the reading, and is said.
func (h benchHandler) practised(q url.Values) (practice, error) {
	b := practice{From: fromRest}
	if q.Get("from") == fromNothing {
		b.From = fromNothing
	}
	if l := h.lesson(q.Get("lesson")); l != nil {
		b.Lesson, b.From = l.Name, ""
		b.Task, _ = strconv.Atoi(q.Get("task")) // none is the first
		b.Task = max(0, min(b.Task, len(l.Tasks)))
	}
	for key, into := range map[string]*name.Point{"hand": &b.Hand, "at": &b.At} {
		if at, err := name.Parse(q.Get(key)); err == nil && h.page.heard.Has(at) {
			*into = at
		}
	}
	if !q.Has("from") && b.Lesson == "" {
		var err error
		b.Setup, err = bench.Begin(h.page.Studio.Rest)
		return b, err
	}
	var err error
	b.Setup, err = bench.Read(h.page.Studio, q)
	return b, err
}

// values are the address's query.
func (b practice) values() url.Values {
	q := b.Setup.Values()
	if b.Lesson != "" {
		q.Set("lesson", b.Lesson)
		q.Set("task", strconv.Itoa(b.Task))
	} else {
		q.Set("from", b.From)
	}
	if !b.Hand.IsZero() {
		q.Set("hand", b.Hand.String())
	}
	if !b.At.IsZero() {
		q.Set("at", b.At.String())
	}
	return q
}

func (b practice) address() string { return "/bench?" + plainQuery(b.values()) }

// plainQuery writes slashes and commas as they are (RFC 3986, 3.4).
func plainQuery(q url.Values) string {
	return strings.NewReplacer("%2F", "/", "%2C", ",").Replace(q.Encode())
}

// began is what the bench stood at in the beginning.
func (h benchHandler) began(b practice) bench.Setup {
	if l := h.lesson(b.Lesson); l != nil {
		return l.Begin
	}
	if b.From == fromNothing {
		return bench.Setup{}
	}
	s, err := bench.Begin(h.page.Studio.Rest)
	if err != nil {
		return bench.Setup{}
	}
	return s
}

func (h benchHandler) lesson(called string) *bench.Lesson {
	for _, l := range h.page.lessons {
		if l.Name == called {
			return &l
		}
	}
	return nil
}

// showBench writes the view of the bench. With something to do in the address it
// is done first, and the browser is sent on to the address of what came of it:
// going back there takes it back.
func (h benchHandler) showBench(w http.ResponseWriter, r *http.Request) {
	q := r.URL.Query()
	b, err := h.practised(q)
	code := http.StatusOK
	if err != nil {
		code = http.StatusBadRequest
	} else if q.Get("do") != "" {
		var made practice
		if made, err = h.act(r.Context(), b, q); err == nil {
			http.Redirect(w, r, made.address(), http.StatusSeeOther)
			return
		}
	}
	if err != nil {
		b.Hand = name.Point{}
	}
	had := h.page.sent.of(r.Header.Get(web.ViewHeader), benchView)
	h.page.writePieces(w, r, code, benchView, h.benchView(r.Context(), b, err, h.page.drawing(r, had, q.Has("whole"), b.At, b.Hand)), had)
}

// act does what an address asks for.
func (h benchHandler) act(ctx context.Context, b practice, q url.Values) (practice, error) {
	switch do := q.Get("do"); do {
	case "begin":
		return h.begin(ctx, q.Get("from"))
	case "lesson":
		l := h.lesson(q.Get("lesson"))
		if l == nil {
			return b, errors.New("there is no such lesson here; the list has those that there are")
		}
		return practice{Setup: l.Begin, Lesson: l.Name}, nil
	case "next":
		b.Task++
		return b, nil
	case "drop":
		b.Hand, b.At = name.Point{}, name.Point{}
		return b, nil
	default:
		made, err := h.handle(b, do, q)
		if err != nil {
			return b, fmt.Errorf("not done: %s", h.page.words.Said(err.Error()))
		}
		return made, nil
	}
}

func (h benchHandler) begin(ctx context.Context, from string) (practice, error) {
	var start patch.Patch
	switch from {
	case fromNothing:
		return practice{From: fromNothing}, nil
	case fromNow:
		status, err := h.page.Room.Status(ctx)
		if err != nil {
			return practice{}, fmt.Errorf("the room cannot be read: %w", err)
		}
		start = h.placed(status.Known.Patch())
	default:
		start = h.page.Studio.Rest
	}
	s, err := bench.Begin(start)
	return practice{Setup: s, From: fromRest}, err
}

// placed is what of a patch the studio has places for; a guest's lead stays in the
// room.
func (h benchHandler) placed(in patch.Patch) patch.Patch {
	odd := func(points ...name.Point) bool {
		return slices.ContainsFunc(points, func(q name.Point) bool { return !h.page.heard.Has(q) })
	}
	out := in.Clone()
	out.Cords = slices.DeleteFunc(out.Cords, func(c patch.Cord) bool { return odd(c.Ends()...) })
	out.Leads = slices.DeleteFunc(out.Leads, func(l patch.Lead) bool { return odd(l.Port, l.Jack) })
	out.Dummies = slices.DeleteFunc(out.Dummies, func(d name.Point) bool { return odd(d) })
	out.Crosspoints = slices.DeleteFunc(out.Crosspoints, func(c patch.Crosspoint) bool { return odd(c.Output, c.Input) })
	return out
}

// handle does what hands do: at one point, or between two.
func (h benchHandler) handle(b practice, do string, q url.Values) (practice, error) {
	at, err := h.pointOf(q.Get("a"))
	if err != nil {
		return b, err
	}
	var to name.Point
	if other := q.Get("b"); other != "" {
		if to, err = h.pointOf(other); err != nil {
			return b, err
		}
	}
	of := h.page.Studio
	hand := b.Hand
	b.Hand, b.At = name.Point{}, at
	if b.Lesson != "" && do != "at" {
		b.At = name.Point{} // what the lesson says is to be seen, and the bay
	}
	switch do {
	case "at":
	case "tap":
		return h.tap(b, hand, at)
	case "plug":
		b.Setup, err = b.Plug(of, at, to)
	case "move":
		b.Setup, err = b.Move(of, at, to)
		if !b.At.IsZero() {
			b.At = to
		}
	case "pull":
		b.Setup, err = b.Pull(of, at)
	case "dummy":
		b.Setup, err = b.Dummy(of, at)
	case "mode":
		b.Setup, err = b.Turn(of, at, bench.ModeCalled(q.Get("mode")))
	case "cross":
		b.Setup, err = b.Cross(of, at, to)
	default:
		err = fmt.Errorf("the address asks for nothing that can be done here")
	}
	return b, err
}

// tap is a touch on a jack: the first takes a cord in hand, or the plug that is
// there; the second puts it into another jack, or back.
func (h benchHandler) tap(b practice, hand, at name.Point) (practice, error) {
	var err error
	switch {
	case hand.IsZero():
		b.Hand = at
	case hand == at:
	case b.In(hand) != nil:
		b.Setup, err = b.Move(h.page.Studio, hand, at)
	default:
		b.Setup, err = b.Plug(h.page.Studio, hand, at)
	}
	return b, err
}

// pointOf reads a point that somebody touched or typed.
func (h benchHandler) pointOf(typed string) (name.Point, error) {
	at, err := words.Find(h.page.Studio, strings.TrimSpace(typed))
	if err != nil {
		return at, err
	}
	if !h.page.heard.Has(at) {
		return at, fmt.Errorf("the studio has no %s", at)
	}
	return at, nil
}

// keepBench writes what stands on the bench as a new session.
func (h benchHandler) keepBench(form url.Values) (func(context.Context) error, error) {
	called, err := h.page.sessionName(form)
	if err != nil {
		return nil, err
	}
	q, err := url.ParseQuery(form.Get("bench"))
	if err != nil {
		return nil, fmt.Errorf("the bench cannot be read: %w", err)
	}
	b, err := h.practised(q)
	switch {
	case err != nil:
		return nil, err
	case len(b.Modes) > 0:
		return nil, errors.New("a session cannot change the mode of a pair; put the modes back as the studio has them, and look whether the bench still does what you want")
	}
	return func(ctx context.Context) error { return h.page.Capture(ctx, called, &b.Patch) }, nil
}
