//go:build unix && !race

package planner_test

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime/debug"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"text/tabwriter"
	"time"

	"bayhand/model/heard"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/model/text"
	"bayhand/simulators/rooms/houses"
)

// sizes are the names that BAYHAND_NUMBERS knows; a number of pairs is one, too.
var sizes = map[string]houses.Size{
	"home": houses.Home, "small": houses.Small, "project": houses.Project, "facility": houses.Facility,
}

// The race detector makes these plans fifteen times as long, and finds nothing in a
// search that starts no goroutine: it looks at the homes of TestQuality alone.

// What always holds of a plan holds in houses of real sizes, each of which has an
// answer that the planner is not shown: it is given, by the nets; the floor is no
// higher than the plan, nor than the answer; and the plan takes no more plugs
// than the answer.
//
// BAYHAND_NUMBERS=home:50,small:20,project:5,400:2,facility:2 says how many
// houses of which sizes, by names or pairs; BAYHAND_ROOMS_AT=FOLDER adds rooms of
// one's own, each a folder with studio.yaml, session.yaml and present.yaml;
// BAYHAND_WITHIN=60s lets go of a plan that takes longer, which fails. With -v
// there is a table.
func TestNumbers(t *testing.T) {
	if os.Getenv("GOGC") == "" {
		defer debug.SetGCPercent(debug.SetGCPercent(200)) // as the program has it
	}
	n := numbers{t: t, within: within(t)}
	for _, of := range asked(t, "home:6,small:1") {
		for seed := range of.count {
			h := houses.Draw(of.size, seed+1)
			s, asked, present, answer := h.Read()
			n.plan(of.title, strconv.FormatUint(seed+1, 10), s, asked, present, &answer)
		}
	}
	for _, dir := range folders(t, os.Getenv("BAYHAND_ROOMS_AT")) {
		s, asked, present := readRoom(t, dir)
		title, _, _ := strings.Cut(filepath.Base(dir), "-")
		n.plan(title+" at", filepath.Base(dir), s, asked, present, nil)
	}
	n.report()
}

// lot is some houses of one size.
type lot struct {
	title string
	size  houses.Size
	count uint64
}

// asked are the houses that BAYHAND_NUMBERS asks for.
func asked(t testing.TB, usual string) []lot {
	t.Helper()
	var lots []lot
	for _, part := range strings.Split(cmp.Or(os.Getenv("BAYHAND_NUMBERS"), usual), ",") {
		title, text, _ := strings.Cut(part, ":")
		count, err := strconv.ParseUint(text, 10, 32)
		size, known := sizes[title]
		if !known {
			size.Pairs, _ = strconv.Atoi(title)
		}
		if err != nil || size.Pairs < 16 {
			t.Fatalf("BAYHAND_NUMBERS has %q; write home:6, or a number of pairs from 16 as in 400:2", part)
		}
		lots = append(lots, lot{title, size, count})
	}
	return lots
}

func within(t *testing.T) time.Duration {
	t.Helper()
	d, err := time.ParseDuration(cmp.Or(os.Getenv("BAYHAND_WITHIN"), "24h"))
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// numbers gathers what plans came to.
type numbers struct {
	t      *testing.T
	within time.Duration
	rows   []row
}

// row is one plan. Answer is how many plugs the answer takes from the present
// patch, with what it does not need left out; negative where it is not known.
type row struct {
	title, name                string
	given, stopped             bool
	plugs, least, answer, work int
	wants, heard               int
	took                       time.Duration
}

func (n *numbers) plan(title, name string, s *studio.Studio, asked *session.Session, present patch.Patch, answer *patch.Patch) {
	room := heard.NewRoom(s)
	r := row{title: title, name: name, answer: -1, wants: len(asked.Wants)}
	state := room.Hear(present)
	for _, w := range asked.Wants {
		if slices.Contains(state.Hears(w.Destination), w.Source) {
			r.heard++
		}
	}
	ctx, cancel := context.WithTimeout(n.t.Context(), n.within)
	defer cancel()
	began := processor()
	p, err := planner.Find(ctx, room, present, asked, planner.Options{
		Prefer: plan.PreferFewest, Progress: func(done, _, _ int) { r.work = done },
	})
	r.took = processor() - began
	if errors.Is(err, context.DeadlineExceeded) {
		p, err = &plan.Plan{Stopped: true}, nil
	}
	if err != nil {
		n.t.Fatalf("%s %s: %v", title, name, err)
	}
	r.given, r.stopped, r.plugs, r.least = p.Given, p.Stopped, p.Plugs, p.Least
	if answer != nil {
		r.answer = plugsOf(n.t, room, present, asked, *answer)
	}
	n.rows = append(n.rows, r)
	n.check(r, room, asked, p)
}

// plugsOf is how many plugs are handled from one patch to another that gives a
// session, by the planner's own rule: it takes the session's last patch where it
// is told to.
func plugsOf(t *testing.T, room *heard.Room, present patch.Patch, asked *session.Session, answer patch.Patch) int {
	t.Helper()
	before := *asked
	before.Patch = &answer
	p, err := planner.Find(t.Context(), room, present, &before, planner.Options{Prefer: plan.PreferSame})
	if err != nil || !p.Given {
		t.Fatalf("the answer is not taken: %v, %v", p, err)
	}
	return p.Plugs
}

// check says what does not hold of a plan.
func (n *numbers) check(r row, room *heard.Room, asked *session.Session, p *plan.Plan) {
	fault := func(format string, values ...any) {
		n.t.Errorf("%s %s: %s", r.title, r.name, fmt.Sprintf(format, values...))
	}
	if !p.Given {
		fault("can be given, and the planner has no plan (stopped: %v, missing %v)", p.Stopped, p.Missing)
		return
	}
	if p.Least > p.Plugs || p.Least < 0 {
		fault("at least %d plugs, and %d are planned", p.Least, p.Plugs)
	}
	if faults := room.CheckGiven(asked, patch.Patch(p.Target), nil); len(faults) > 0 {
		fault("the plan does not give the session: %v", faults)
	}
	if r.answer >= 0 && p.Least > r.answer {
		fault("at least %d plugs; an answer takes %d", p.Least, r.answer)
	}
	if r.answer >= 0 && p.Plugs > r.answer {
		fault("%d plugs; an answer takes %d", p.Plugs, r.answer)
	}
}

// processor is the time that the processor has spent on this program.
func processor() time.Duration {
	var r syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &r) != nil {
		return 0
	}
	return time.Duration(r.Utime.Nano())
}

// report logs a table: each room, then what each size came to.
func (n *numbers) report() {
	var f strings.Builder
	w := tabwriter.NewWriter(&f, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(w, "size\troom\twants\theard before\tplugs\tleast\tanswer\tms\tmillion looks\t")
	for _, r := range n.rows {
		plugs := strconv.Itoa(r.plugs)
		if !r.given {
			plugs = "none"
		}
		fmt.Fprintf(w, "%s\t%s\t%d\t%d\t%s\t%d\t%d\t%d\t%d\t\n", r.title, r.name, r.wants, r.heard, plugs, r.least, r.answer, r.took.Milliseconds(), r.work)
	}
	fmt.Fprintln(w, "\nsize\trooms\tmedian ms\tworst ms\tproved\tgap, most\tgap, % of plugs\tno plan\t")
	for _, title := range titles(n.rows) {
		summary(w, title, slices.DeleteFunc(slices.Clone(n.rows), func(r row) bool { return r.title != title }))
	}
	w.Flush()
	n.t.Logf("processor time, on this machine\n%s", f.String())
}

func titles(rows []row) []string {
	var all []string
	for _, r := range rows {
		if !slices.Contains(all, r.title) {
			all = append(all, r.title)
		}
	}
	return all
}

func summary(w *tabwriter.Writer, title string, rows []row) {
	proved, none, gap, percent := 0, 0, 0, 0
	for _, r := range rows {
		switch {
		case !r.given:
			none++
		case r.plugs == r.least:
			proved++
		default:
			gap = max(gap, r.plugs-r.least)
			percent = max(percent, (r.plugs-r.least)*100/r.plugs)
		}
	}
	slices.SortFunc(rows, func(a, b row) int { return cmp.Compare(a.took, b.took) })
	fmt.Fprintf(w, "%s\t%d\t%d\t%d\t%d\t%d\t%d\t%d\t\n", title, len(rows), rows[len(rows)/2].took.Milliseconds(), rows[len(rows)-1].took.Milliseconds(), proved, gap, percent, none)
}

// One line of a session changes, and what is in is what was planned for it before:
// the plan for the new line holds as any other, and is no further away than an
// answer. BAYHAND_NUMBERS says in how many houses, as above.
func TestAnotherLine(t *testing.T) {
	n := numbers{t: t, within: within(t)}
	for _, of := range asked(t, "home:4,small:1") {
		for seed := range of.count {
			h := houses.Draw(of.size, seed+1)
			s, before, present, answer := h.Read()
			if h.Line == nil {
				continue
			}
			after, _, problems := text.ReadSession("line.yaml", h.Line, s, nil)
			lineAnswer, _, more := text.ReadPatch("line-answer.yaml", h.LineAnswer, s)
			if problems = append(problems, more...); problems.Errors() {
				t.Fatal(problems)
			}
			room := heard.NewRoom(s)
			ctx, cancel := context.WithTimeout(t.Context(), n.within)
			p, err := planner.Find(ctx, room, present, before, planner.Options{Prefer: plan.PreferFewest})
			cancel()
			in := answer // where there is no plan yet, the answer was plugged
			if err == nil && p.Given {
				in = patch.Patch(p.Target)
			}
			n.plan(of.title, strconv.FormatUint(seed+1, 10), s, after, in, &lineAnswer)
		}
	}
	if len(n.rows) == 0 {
		t.Error("no house has another line")
	}
	n.report()
}
