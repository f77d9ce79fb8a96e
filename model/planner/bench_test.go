//go:build unix && !race

package planner_test

import (
	"math"
	"sync"
	"testing"
	"time"

	"bayhand/model/heard"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/session"
	"bayhand/model/text"
	"bayhand/simulators/rooms/houses"
)

// The benchmarks plan houses of each size, all in one run: the first seeds, one
// after the other. times-home is how many times as long a plan takes as at home,
// and growth the power of the pairs that this is, both by the time of the
// processor, which does not mind what else the machine has to do. All of
// them can be given: without-a-plan counts those that the planner gave up.

func BenchmarkHome(b *testing.B)     { bench(b, houses.Home, 4) }
func BenchmarkSmall(b *testing.B)    { bench(b, houses.Small, 3) }
func BenchmarkProject(b *testing.B)  { bench(b, houses.Project, 2) }
func BenchmarkPairs400(b *testing.B) { bench(b, houses.Size{Pairs: 400}, 1) }
func BenchmarkFacility(b *testing.B) { bench(b, houses.Facility, 1) }

// BenchmarkAnotherLine plans a session with one line changed, from what was planned
// for it before, in a facility.
func BenchmarkAnotherLine(b *testing.B) {
	h := houses.Draw(houses.Facility, 1)
	j := newJob(h)
	p, err := j.plan(b)
	if err != nil || !p.Given || h.Line == nil {
		b.Fatalf("there is no plan to begin with: %v", err)
	}
	line, _, problems := text.ReadSession("line.yaml", h.Line, j.room.Studio(), nil)
	if problems.Errors() {
		b.Fatal(problems)
	}
	j.asked, j.present = line, patch.Patch(p.Target)
	run(b, houses.Facility, []job{j})
}

// job is one plan to be made.
type job struct {
	room    *heard.Room
	asked   *session.Session
	present patch.Patch
}

func newJob(h houses.House) job {
	s, asked, present, _ := h.Read()
	return job{heard.NewRoom(s), asked, present}
}

func (j job) plan(b *testing.B) (*plan.Plan, error) {
	return planner.Find(b.Context(), j.room, j.present, j.asked, planner.Options{Prefer: plan.PreferFewest})
}

func jobs(size houses.Size, seeds uint64) []job {
	var all []job
	for seed := range seeds {
		all = append(all, newJob(houses.Draw(size, seed+1)))
	}
	return all
}

func bench(b *testing.B, size houses.Size, seeds uint64) { run(b, size, jobs(size, seeds)) }

func run(b *testing.B, size houses.Size, all []job) {
	b.StopTimer()
	home := atHome(b)
	b.StartTimer()
	plugs, least, none, began := 0, 0, 0, processor()
	for b.Loop() {
		plugs, least, none = 0, 0, 0
		for _, j := range all {
			p, err := j.plan(b)
			if err != nil {
				b.Fatal(err)
			}
			if !p.Given {
				none++
			}
			plugs, least = plugs+p.Plugs, least+p.Least
		}
	}
	each := float64(processor()-began) / float64(b.N) / float64(len(all))
	b.ReportMetric(each/float64(home), "times-home")
	if size != houses.Home {
		b.ReportMetric(math.Log(each/float64(home))/math.Log(float64(size.Pairs)/float64(houses.Home.Pairs)), "growth")
	}
	b.ReportMetric(float64(plugs), "plugs")
	b.ReportMetric(float64(least), "least")
	b.ReportMetric(float64(none), "without-a-plan")
}

// homeOnce is how long a plan takes at home, on average: measured once a run, so
// that all sizes are held against the same.
var homeOnce = struct {
	sync.Once
	took time.Duration
}{}

func atHome(b *testing.B) time.Duration {
	homeOnce.Do(func() {
		all := jobs(houses.Home, 4)
		began := processor()
		for range 5 {
			for _, j := range all {
				if p, err := j.plan(b); err != nil || !p.Given {
					b.Fatalf("no plan at home: %v", err)
				}
			}
		}
		homeOnce.took = (processor() - began) / time.Duration(5*len(all))
	})
	return homeOnce.took
}
