package page

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"sync"
	"time"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/suspect"
	"bayhand/recall/keep"
	"bayhand/recall/listen"
)

// Ears listen to the room with test sound. All screens see the one listening that
// there is: what plays, what was found, and which of the findings is in hand. It is
// safe for concurrent use, and lives longer than a page of one studio.
type Ears struct {
	// prepare makes the plan of the room as a status has it.
	prepare func(ctx context.Context, s keep.Status) (*listen.Plan, error)
	// sound plays a plan, reads what comes back, and tells the room of it.
	sound func(ctx context.Context, l *listen.Plan, progress func(listen.Progress)) (*listen.Answer, error)
	told  func()

	// one is held while a plan is made, which takes its time.
	one sync.Mutex
	// mu guards the fields below.
	mu sync.Mutex
	// plan is of the room that planned names.
	plan    *listen.Plan
	planned string
	sight   sight
	// stop ends the sound that plays; nil while none does.
	stop     context.CancelFunc
	progress listen.Progress
	// answer is the last one, of when, and why there was none.
	answer *listen.Answer
	at     time.Time
	err    error
	unseen []patch.Cord
	// probes are those of the findings; nil where none tells anything apart.
	probes []*suspect.Probe
	// round counts how often the room was listened to since it was as it should be.
	round int
}

// sight is which cords a plan would show.
type sight struct{ seen, unseen []patch.Cord }

// NewEars makes them. Prepare is asked for the plan of the room as it is known;
// sound plays it, stops at once where its context ends, and calls progress at most
// several times a second; told is called where something to be shown changed.
func NewEars(
	prepare func(ctx context.Context, s keep.Status) (*listen.Plan, error),
	sound func(ctx context.Context, l *listen.Plan, progress func(listen.Progress)) (*listen.Answer, error),
	told func(),
) *Ears {
	return &Ears{prepare: prepare, sound: sound, told: told}
}

// errSounding is said to who would listen while somebody does.
var errSounding = errors.New("somebody listens to the room already")

// planOf is the plan of the room as it is known, made once for each patch.
func (e *Ears) planOf(ctx context.Context, s keep.Status) (*listen.Plan, sight, error) {
	e.one.Lock()
	defer e.one.Unlock()
	key := fmt.Sprint(s.Studio, s.Session, s.Known.Patch())
	e.mu.Lock()
	plan, made, has := e.plan, e.sight, e.planned == key && e.plan != nil
	e.mu.Unlock()
	if has {
		return plan, made, nil
	}
	plan, err := e.prepare(ctx, s)
	if err != nil {
		return nil, sight{}, err
	}
	made = sightOf(plan.Scene(plan.Inputs()))
	e.mu.Lock()
	defer e.mu.Unlock()
	e.plan, e.planned, e.sight = plan, key, made
	return plan, made, nil
}

func sightOf(of *suspect.Scene) (made sight) {
	for _, c := range of.Sights() {
		if c.Seen {
			made.seen = append(made.seen, c.Cord)
			continue
		}
		made.unseen = append(made.unseen, c.Cord)
	}
	return made
}

// Forget lets the plan be made anew: the studio's file is another.
func (e *Ears) Forget() {
	e.mu.Lock()
	defer e.mu.Unlock()
	e.plan, e.planned = nil, ""
}

// listen plays a plan until the context ends, or somebody stops it.
func (e *Ears) listen(ctx context.Context, l *listen.Plan) error {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	if !e.begins(stop) {
		return errSounding
	}
	answer, err := e.sound(ctx, l, e.goes)
	e.ended(answer, err)
	return err
}

func (e *Ears) begins(stop context.CancelFunc) bool {
	e.mu.Lock()
	defer e.mu.Unlock()
	if e.stop != nil {
		return false
	}
	e.stop, e.progress, e.err = stop, listen.Progress{}, nil
	e.round++
	e.told()
	return true
}

// goes notes progress, and tells of it once a second of sound.
func (e *Ears) goes(now listen.Progress) {
	e.mu.Lock()
	defer e.mu.Unlock()
	before := e.progress
	e.progress = now
	if before.Pass != now.Pass || before.Reading != now.Reading || int(before.Done) != int(now.Done) {
		e.told()
	}
}

func (e *Ears) ended(answer *listen.Answer, err error) {
	var unseen []patch.Cord
	var probes []*suspect.Probe
	if answer != nil {
		unseen, probes = sightOf(answer.Scene).unseen, probesOf(answer)
	}
	e.mu.Lock()
	before := e.answer
	e.mu.Unlock()
	if answer != nil {
		answer.Follow(before)
	}
	e.mu.Lock()
	defer e.mu.Unlock()
	e.stop, e.err = nil, err
	e.answer, e.at, e.unseen, e.probes = answer, time.Now(), unseen, probes
	e.told()
}

// silence stops what plays. Where nothing does, nothing is to be stopped.
func (e *Ears) silence() {
	e.mu.Lock()
	defer e.mu.Unlock()
	if e.stop != nil {
		e.stop()
	}
}

// listened is what the ears show at one moment.
type listened struct {
	sounding bool
	progress listen.Progress
	answer   *listen.Answer
	at       time.Time
	err      error
	round    int
	unseen   []patch.Cord
	probes   []*suspect.Probe
}

func (e *Ears) current() listened {
	e.mu.Lock()
	defer e.mu.Unlock()
	return listened{e.stop != nil, e.progress, e.answer, e.at, e.err, e.round, e.unseen, e.probes}
}

// forgotten ends a run of rounds: the room is as it should be, or somebody begins
// anew.
func (e *Ears) forgotten() {
	e.mu.Lock()
	defer e.mu.Unlock()
	if e.stop == nil {
		e.answer, e.err, e.round = nil, nil, 0
	}
	e.told()
}

// stale says whether an answer is of another patch than the room is known to be in
// now: cords were moved since.
func stale(v *listen.Answer, s keep.Status) bool {
	muted := v.Plan.Needs()
	return !samePlugs(listen.Switched(v.Plan.Patch, muted), listen.Switched(s.Known.Patch(), muted))
}

func samePlugs(a, b patch.Patch) bool {
	same := func(p, q []name.Point) bool { return slices.Equal(p, q) }
	return slices.EqualFunc(a.Cords, b.Cords, patch.Cord.Same) && same(a.Plugs(), b.Plugs()) && slices.Equal(a.Crosspoints, b.Crosspoints)
}

func probesOf(a *listen.Answer) []*suspect.Probe {
	all := make([]*suspect.Probe, len(a.Found.Findings))
	for i, f := range a.Found.Findings {
		if p, ok := a.Scene.Probe(f); ok {
			all[i] = &p
		}
	}
	return all
}
