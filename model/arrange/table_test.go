package arrange

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"
)

// The sizes of the table: pairs of jacks, and sessions.
var tableSizes = []struct {
	name            string
	pairs, sessions int
}{{"home", 24, 6}, {"studio", 48, 10}, {"project", 192, 12}, {"facility", 1920, 30}}

// TestTable holds layouts of planted rooms against the layouts that the rooms were
// drawn around, against CBC and against annealing. Each line of its log is a room:
// what is proposed in parts of what the other one found. BAYHAND_TABLE says how many
// rooms of each size, BAYHAND_ANNEALING how long each is annealed:
//
//	BAYHAND_TABLE=home:10,studio:5,project:2,facility:1 BAYHAND_ANNEALING=10m go test -run TestTable -timeout 5h -v ./model/arrange
func TestTable(t *testing.T) {
	asked := os.Getenv("BAYHAND_TABLE")
	if asked == "" {
		asked = "home:2,studio:1"
	}
	annealing, _ := time.ParseDuration(os.Getenv("BAYHAND_ANNEALING"))
	for _, item := range strings.Split(asked, ",") {
		name, text, _ := strings.Cut(item, ":")
		count, err := strconv.Atoi(text)
		if err != nil {
			t.Fatalf("BAYHAND_TABLE: %q is no number of rooms", text)
		}
		for _, size := range tableSizes {
			for n := range count {
				if size.name == name {
					tableRow(t, fmt.Sprintf("%s %d", name, n+1), size.pairs, size.sessions, uint64(n), annealing)
				}
			}
		}
	}
}

// tableRow is one room. No hand's layout may be better, the proof of the plugs has to
// be that of CBC, and what is proposed must be one that the sums are right of.
func tableRow(t *testing.T, name string, pairs, sessions int, seed uint64, annealing time.Duration) {
	random := rand.New(rand.NewPCG(seed, uint64(pairs)))
	p := drawPlanted(t, random, pairs, sessions)
	hand := handsLayout(t, p)
	began := processor()
	l, err := Lay(p.bare)
	if err != nil {
		t.Fatal(err)
	}
	took := processor() - began
	score, plugs := l.columns.score(), l.columns.plugs()
	line := fmt.Sprintf("%-11s J %7d, %5.3f of the hand's; plugs %5d, bound %5.1f, lines %4d (hand's %4d); %v of the processor",
		name, score, float64(score)/float64(hand.score()), plugs, float64(l.least)/2, l.columns.lines(), hand.lines(), took.Round(time.Millisecond))
	if score > hand.score() {
		t.Errorf("%s: the layout has %d, and the hand's that the sessions were drawn around %d", name, score, hand.score())
	}
	if plugs < l.least/2 {
		t.Errorf("%s: %d plugs, proved to be %d at least", name, plugs, l.least/2)
	}
	if solved, took, ok := byCBC(t, l.columns.pricing.problem); ok {
		line += fmt.Sprintf("; CBC %d in %v", solved, took.Round(time.Millisecond))
		if 2*solved != l.least {
			t.Errorf("%s: CBC finds %d plugs for the best columns, and %v is said to be the least", name, solved, float64(l.least)/2)
		}
	}
	if annealing > 0 {
		r := l.columns.room
		from := drafting{r, l.columns.pricing.problem, matched{}, p.bare.price()}
		best := anneal(from.laid(from.filed()), random, annealing)
		line += fmt.Sprintf("; %5.3f of annealing", float64(score)/float64(best))
	}
	t.Log(line)
}

// handsLayout is the layout that a planted room was drawn with.
func handsLayout(t testing.TB, p planted) *columns {
	t.Helper()
	r := newRoom(&p.wired)
	problem := r.problem(&p.wired, 1)
	problem.tabulate()
	hand := drafting{r, problem, matched{}, p.wired.price()}.present()
	if hand == nil {
		t.Fatal("the hand's layout may not be")
	}
	return hand
}

// anneal looks for the best objective of a room for so long, from the order of the file,
// by exchanges that also worsen it: less and less often, in so much time of the
// processor (Kirkpatrick, Gelatt and
// Vecchi, Optimization by simulated annealing, Science 220, 1983).
func anneal(from *columns, random *rand.Rand, long time.Duration) int64 {
	c := from.copied()
	score, best := c.score(), c.score()
	hot, cold := float64(c.pricing.price.line)*4, float64(c.pricing.price.plug)/4
	began, heat := processor(), hot
	for look := 0; ; look++ {
		if look%4096 == 0 {
			part := float64(processor()-began) / float64(long)
			if part >= 1 {
				return best
			}
			heat = hot * math.Pow(cold/hot, part)
		}
		change, back := c.drawnExchange(random)
		if change > 0 && random.Float64() >= math.Exp(-float64(change)/heat) || c.cyclic() {
			back()
			continue
		}
		score += change
		best = min(best, score)
	}
}

// drawnExchange makes one exchange of the search, with what it changes and its way
// back.
func (c *columns) drawnExchange(random *rand.Rand) (change int64, back func()) {
	size := 1 << random.IntN(4)
	a, b := random.IntN(len(c.top)), random.IntN(len(c.top))
	a, b = min(a, b), max(a, b)
	if b < a+size || b+size > len(c.top) {
		return 0, func() {}
	}
	if kind := part(random.IntN(4)); kind != turning {
		swapped := func() { c.swap(kind, a, b, size) }
		return c.changed(a, b, size, swapped), swapped
	}
	end := b + size
	change = c.turned(a, end, size)
	c.turn(a, end, size)
	return change, func() { c.turn(a, end, end-a-size) }
}

// changed makes an exchange of two runs and is what the objective changes by.
func (c *columns) changed(a, b, size int, exchange func()) int64 {
	before := c.aroundBoth(a, b, size)
	exchange()
	return c.aroundBoth(a, b, size) - before
}

// byCBC solves the assignment of a room, with no cycle of normals and passes, by a
// solver of integer programs that others wrote. Cycles are cut off as they turn up.
// ok is false where the solver is not there or the room is too large for it.
func byCBC(t *testing.T, p *problem) (least int64, took time.Duration, ok bool) {
	t.Helper()
	solver, err := exec.LookPath("cbc")
	if err != nil {
		if os.Getenv("BAYHAND_PEERS") == "require" {
			t.Error("cbc is missing; BAYHAND_PEERS=require asks for it")
		}
		return 0, 0, false
	}
	if p.columns > 200 {
		return 0, 0, false
	}
	began := time.Now()
	var cuts [][]pairing
	for {
		least, below := solveOnce(t, solver, p, cuts)
		cycle := cycleIn(below, p.passes, nil)
		if cycle == nil {
			return least, time.Since(began), true
		}
		cuts = append(cuts, cycle)
	}
}

// solveOnce writes the program, runs the solver and reads its answer: the cost, and
// the normals that were chosen.
func solveOnce(t *testing.T, solver string, p *problem, cuts [][]pairing) (least int64, below []int) {
	t.Helper()
	folder := t.TempDir()
	program, answer := filepath.Join(folder, "room.lp"), filepath.Join(folder, "answer")
	if err := os.WriteFile(program, p.asProgram(cuts), 0o600); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command(solver, program, "solve", "solution", answer).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	read, err := os.ReadFile(answer)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.HasPrefix(string(read), "Optimal") {
		t.Fatalf("the solver says %q", strings.SplitN(string(read), "\n", 2)[0])
	}
	below = blanks(p.demand.outputs)
	for _, line := range strings.Split(string(read), "\n") {
		fields := strings.Fields(line)
		if len(fields) < 4 {
			continue
		}
		var o, i int
		var kind string
		value, _ := strconv.ParseFloat(fields[2], 64)
		if _, err := fmt.Sscanf(fields[1], "%1s_%d_%d", &kind, &o, &i); err != nil || value < 0.5 {
			continue
		}
		open, closed := p.costsOf(o, i)
		if kind == "n" {
			least += open
			below[o] = i
		} else {
			least += closed
		}
	}
	return least, below
}
