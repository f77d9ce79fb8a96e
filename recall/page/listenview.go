package page

import (
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strconv"

	"bayhand/model/patch"
	"bayhand/model/suspect"
	"bayhand/recall/keep"
	"bayhand/recall/listen"
	"bayhand/recall/words"
)

// listenView is the view of the room as test sound finds it.
type listenView struct {
	frame
	Cautions []string
	// Cannot is why the room cannot be listened to; empty where it can.
	Cannot string
	// Plays, Silent and LeftOut are what would be heard and what would not, and why.
	Plays, Silent string
	// Muted is what a matrix mutes meanwhile.
	Muted   []string
	LeftOut []string
	// Sees is what would be known afterwards, and Unseen the cords that would not.
	Sees   string
	Unseen []earCord

	Sounding *soundingView
	Heard    *heardView
	// Failed is why the last listening came to nothing.
	Failed string
}

// soundingView is the sound as it plays.
type soundingView struct {
	Pass, Says string
	// Part is how much was played, of a hundred.
	Part int
}

// heardView is what the last listening found.
type heardView struct {
	// AsItShould is a room that is as it was told, as far as it was heard.
	AsItShould     bool
	Title          string
	Round          int
	When           string
	Notes          []string
	Finding        *findingView
	Measured, Seen string
	// Ear are the cords that were not seen, to be followed by ear.
	Ear     []earCord
	EarLeft int
	// Stale says that the patch is another since.
	Stale bool
}

// findingView is one thing that is otherwise, with where it is.
type findingView struct {
	Number, Count int
	Text          string
	Guess         bool
	Probe         string
	By, OrElse    []string
	Close         []bay
	Before, Next  string
	Jacks         []tagView
	// Cord says which numbered cord it is; Numbering asks for the number of one that
	// nobody has reported.
	Cord      string
	Numbering *numbering
	See       string
}

// tagView is a jack that may be tagged as faulty.
type tagView struct {
	Name, Words string
	Tagged      bool
}

// earCord is a cord that no test sound shows.
type earCord struct {
	Key, A, B, Words string
	// Heard says that somebody has followed it by ear since.
	Heard bool
	By    string
}

// listenHandler listens to the room, and shows what was found.
type listenHandler struct{ page *page }

// earCautions are said before the first sound, in a person's words.
var earCautions = []string{
	"Turn loudspeakers and headphones down, and take headphones off the ears.",
	"Switch phantom power off, and take ribbon microphones away from every line that could be driven.",
	"Nobody's hands at the bay while it sounds.",
	"What is reported of a patch proves nothing about safety: a wrong cord may lead the sound anywhere. Your ears are the last judge.",
	"Mains and loudspeaker wiring: follow local codes; leave it to licensed people.",
}

func (h listenHandler) showListen(w http.ResponseWriter, r *http.Request) {
	h.listenPage(w, r, "", http.StatusOK)
}

// listenPage writes the view, with what was refused.
func (h listenHandler) listenPage(w http.ResponseWriter, r *http.Request, trouble string, code int) {
	if h.page.Ears == nil {
		h.soundless(w, r, trouble, code)
		return
	}
	status, err := h.page.Room.Status(r.Context())
	v := &listenView{frame: h.page.frame(status, "listen"), Cautions: earCautions}
	v.Heading, v.Trouble = "Listen to the room", trouble
	if err != nil {
		v.Trouble = words.Put("The room cannot be read: {reason}", "reason", err.Error())
		write(w, r, http.StatusServiceUnavailable, "listen.html", v)
		return
	}
	now := h.page.Ears.current()
	switch {
	case now.sounding:
		v.Sounding = soundingOf(now.progress)
	case now.answer != nil && now.answer.Plan.Room.Studio().Name == h.page.Studio.Name:
		v.Heard = h.heardOf(now, status, r)
	}
	if now.err != nil && !now.sounding {
		v.Failed = h.failedListening(now.err)
	}
	if v.Sounding == nil {
		h.wouldHear(r, v, status)
	}
	write(w, r, code, "listen.html", v)
}

// failedListening says why nothing was found.
func (h listenHandler) failedListening(err error) string {
	var halted *listen.Halted
	switch {
	case errors.Is(err, listen.ErrStopped):
		return "It was stopped. Nothing that was heard counts."
	case errors.As(err, &halted):
		return words.Put("{reason}. Find out why before you listen again.", "reason", h.page.words.Said(err.Error()))
	}
	return h.page.words.Said(err.Error())
}

// wouldHear says what would play, and what it would show.
func (h listenHandler) wouldHear(r *http.Request, v *listenView, s keep.Status) {
	l, sight, err := h.page.Ears.planOf(r.Context(), s)
	if err == nil {
		err = l.NeedDriven()
	}
	if err != nil {
		v.Cannot = h.page.words.Said(err.Error())
	}
	if l == nil {
		return
	}
	v.Plays = words.Put("{outputs} of {device} play together for {seconds} s at -60 dBFS, and once more at -30 dBFS where the first time shows that it may; {inputs} are recorded.",
		"outputs", words.Count(len(l.Driven), "1 output", "{n} outputs"), "device", h.page.words.Owner(l.Device.Name), "seconds", fmt.Sprintf("%.0f", l.Seconds()),
		"inputs", words.Count(len(l.Inputs()), "1 input", "{n} inputs"))
	say := listen.In(h.page.Studio)
	if len(l.Guarded) > 0 {
		v.Silent = say.PointNames(l.Guarded)
	}
	for _, m := range l.Muted {
		v.Muted = append(v.Muted, fmt.Sprintf("%s is muted by %s while it sounds, and read back.", h.page.words.Owner(m.Gear), h.page.words.Point(m.By)))
	}
	if beside := say.Beside(l); beside != "" {
		v.Muted = append(v.Muted, beside)
	}
	for _, out := range l.LeftOut {
		why, mistake := "{output}: it could come to {input} as reported", ""
		if out.By != nil {
			why, mistake = "{output}: it could come to {input} if {mistake}", say.Mistake(*out.By)
		}
		v.LeftOut = append(v.LeftOut, words.Put(why, "output", h.page.words.Point(out.Output), "input", h.page.words.Point(out.Input), "mistake", mistake))
	}
	v.Sees = fmt.Sprintf("%d of %d cords would be seen.", len(sight.seen), len(sight.seen)+len(sight.unseen))
	v.Unseen = h.byEar(sight.unseen, s, nil)
}

func soundingOf(now listen.Progress) *soundingView {
	v := &soundingView{Pass: "The sound begins"}
	if now.Pass > 0 {
		v.Pass = fmt.Sprintf("Pass %d, at %.0f dBFS", now.Pass, now.Level)
		v.Says = fmt.Sprintf("%.0f of %.0f s", now.Done, now.Seconds)
	}
	if now.Seconds > 0 {
		v.Part = min(100, int(100*now.Done/now.Seconds))
	}
	if now.Reading {
		v.Says = "played; it is being read"
	}
	return v
}

func (h listenHandler) heardOf(now listened, s keep.Status, r *http.Request) *heardView {
	a := now.answer
	say := listen.In(h.page.Studio)
	v := &heardView{AsItShould: a.AsItShould(), Round: now.round, When: h.page.clock(now.at), Stale: stale(a, s)}
	count := len(a.Found.Findings)
	switch {
	case a.Nothing:
		v.Title = "Nothing was heard at any input"
		v.Notes = append(v.Notes, "Is the sound device the right one, and are its outputs and inputs turned up?")
	case v.AsItShould:
		v.Title = "As far as can be heard from here, the room is as reported"
	case count == 0:
		v.Title = "Something differs from what is reported"
	case count == 1:
		v.Title = "One thing differs from what is reported"
	default:
		v.Title = fmt.Sprintf("%d things differ from what is reported", count)
	}
	v.note(a, say)
	for _, f := range a.Lacking() {
		v.Notes = append(v.Notes, words.Put("The reported patch does not set up the session: {fault}", "fault", h.page.words.Said(f.String())))
	}
	if count > 0 {
		at, _ := strconv.Atoi(r.URL.Query().Get("finding")) // none is the first
		at = max(0, min(count-1, at-1))
		probe := ""
		if now.probes[at] != nil {
			probe = sentence(say.Probe(*now.probes[at]))
		}
		v.Finding = h.findingOf(a.Found.Findings, probe, at, s, say)
	}
	if len(a.Learnt.Measured) > 0 {
		v.Measured = say.Cords(a.Learnt.Measured)
	}
	v.Seen = fmt.Sprintf("%d of %d cords were heard as they should be.", len(a.Found.Seen), len(a.Found.Seen)+len(a.Found.Unseen))
	v.Ear = h.byEar(now.unseen, s, &now)
	for _, c := range v.Ear {
		if !c.Heard {
			v.EarLeft++
		}
	}
	return v
}

// mostElse is how many other causes of one finding are shown.
const mostElse = 4

func (h listenHandler) findingOf(all []suspect.Finding, probe string, at int, s keep.Status, say *listen.Wording) *findingView {
	f := all[at]
	v := &findingView{Probe: probe, Number: at + 1, Count: len(all), Text: sentence(say.Mistake(f.Mistake)), Guess: f.Guess}
	for _, h := range f.Pairs[:min(len(f.Pairs), 3)] {
		v.By = append(v.By, say.Heard(h))
	}
	for _, m := range f.OrElse[:min(len(f.OrElse), mostElse)] {
		v.OrElse = append(v.OrElse, say.Mistake(m))
	}
	if more := len(f.OrElse) - mostElse; more > 0 {
		v.OrElse = append(v.OrElse, fmt.Sprintf("one of %d rarer causes", more))
	}
	if why := say.RuledOut(f); why != "" {
		v.By = append(v.By, sentence(why))
	}
	if at > 0 {
		v.Before = fmt.Sprintf("/listen?finding=%d", at)
	}
	if at+1 < len(all) {
		v.Next = fmt.Sprintf("/listen?finding=%d", at+2)
	}
	m := &move{ends: f.At}
	plugs := plugReader(h).plugs(s, m, h.page.marks.assign(s))
	v.Close = drawer(h).closeUps(plugs, m)
	h.ownCord(v, f, s)
	for _, end := range f.At {
		if !h.page.isBay(end.Owner) {
			continue
		}
		if v.See == "" {
			v.See = "/?at=" + end.String()
		}
		if slices.Contains(f.AtFault(), end) {
			v.Jacks = append(v.Jacks, tagView{end.String(), h.page.words.Point(end), plugs.faulty[end]})
		}
	}
	return v
}

// byEar are cords to be followed by ear; with what was listened to, those that were
// followed since are ticked.
func (h listenHandler) byEar(cords []patch.Cord, s keep.Status, now *listened) []earCord {
	all := []earCord{}
	for _, c := range cords {
		if c.B.IsZero() {
			continue
		}
		one := earCord{Key: "ear-" + c.A.String(), A: c.A.String(), B: c.B.String(), Words: h.page.words.Point(c.A) + " - " + h.page.words.Point(c.B)}
		at := slices.IndexFunc(s.Known.Cords, func(k keep.KnownCord) bool { return k.Same(c) })
		if at >= 0 && now != nil {
			known := s.Known.Cords[at]
			one.Heard = known.How == keep.Told && known.Since.After(now.at)
			one.By = h.page.clock(known.Since)
		}
		all = append(all, one)
	}
	return all
}
