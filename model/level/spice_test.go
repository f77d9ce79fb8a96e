package level

import (
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/text"
)

// simulator finds a circuit simulator of another project, ngspice. Without it the
// test is skipped, unless BAYHAND_PEERS is require.
func simulator(t *testing.T) string {
	t.Helper()
	path, err := exec.LookPath("ngspice")
	if err == nil {
		return path
	}
	if os.Getenv("BAYHAND_PEERS") == "require" {
		t.Fatal("ngspice is missing and BAYHAND_PEERS is require")
	}
	t.Skip("ngspice is not on this machine")
	return ""
}

// answer is what the model says of one input of a bench.
type answer struct {
	name, node string // node is where the deck has the input
	single     bool
	at         [2]float64 // dB at 1 kHz and 20 kHz
	corner     float64    // 0 where there is none
}

// asked solves a bench by the model, from its file.
func asked(t *testing.T, label string, b bench) []answer {
	t.Helper()
	s, _, problems := text.ReadStudio("bench.yaml", []byte(b.file()))
	if len(problems) > 0 {
		t.Fatalf("%v\n%s", problems, b.file())
	}
	r := New(heard.NewRoom(s), s.Rest, Options{})
	var all []answer
	for i, br := range b.branches {
		in := name.At(fmt.Sprintf("to-%c", 'a'+i), "in", 1)
		way := r.way(name.At("source", "out", 1), in, map[name.Point]bool{})
		if len(way) != 1 {
			t.Fatalf("%s: %d hops to %s\n%s", label, len(way), in, b.file())
		}
		h := way[0]
		resp := r.response(h.net, h.output, stages(h)[0])
		magnitude := func(hertz float64) float64 { return resp.magnitude(h.input, hertz) }
		a := answer{name: in.String(), node: fmt.Sprintf("%sb%d", label, i), single: br.stage == "false"}
		a.at = [2]float64{decibel(magnitude(reference)), decibel(magnitude(treble))}
		a.corner, _ = corner(magnitude)
		all = append(all, a)
	}
	return all
}

// nearCorner is how far the frequency of a corner may be off.
const nearCorner = 1e-3

// Levels within 0.01 dB and corners within 0.1 % of what ngspice makes of the
// same benches. A corner is right where half of the power lies between the
// frequencies on both sides of it.
func TestNetsAndDecksAgree(t *testing.T) {
	path := simulator(t)
	count := 60
	if text := os.Getenv("BAYHAND_NETS"); text != "" {
		count, _ = strconv.Atoi(text)
	}
	inputs, corners, worst := 0, 0, 0.0
	const together = 20
	for first := 0; first < count; first += together {
		var d deck
		var answers []answer
		var benches []bench
		for seed := first; seed < min(first+together, count); seed++ {
			b := drawBench(uint64(seed))
			label := fmt.Sprintf("n%d", seed)
			d.bench(label, b)
			for _, a := range asked(t, label, b) {
				answers, benches = append(answers, a), append(benches, b)
			}
		}
		for i, off := range compared(t, path, &d, answers) {
			inputs++
			worst = max(worst, off)
			if answers[i].corner > 0 {
				corners++
			}
			if off > 0.01 || math.IsNaN(off) {
				t.Fatalf("model and deck differ after %d nets by %.4f at %s %s, of which the model says %+v\n%s", first+together, off, answers[i].node, answers[i].name, answers[i], benches[i].file())
			}
		}
	}
	t.Logf("%d nets, %d inputs, %d corners; %.5f dB apart at most", count, inputs, corners, worst)
	if inputs < 3*count || corners < count {
		t.Errorf("%d nets have only %d inputs and %d corners", count, inputs, corners)
	}
}

// compared runs a deck, and returns how far each answer is off, in dB; 1 for a
// corner that is not where the model has it. Levels under -60 dB are noise to
// both.
func compared(t *testing.T, path string, d *deck, answers []answer) []float64 {
	t.Helper()
	var control strings.Builder
	ask := func(hertz float64, all []answer) {
		fmt.Fprintf(&control, "ac lin 1 %.12g %.12g\n", hertz, hertz)
		for _, a := range all {
			probe := "mag(v(" + a.node + "h)-v(" + a.node + "c))"
			if a.single {
				probe = "mag(v(" + a.node + "h))"
			}
			fmt.Fprintf(&control, "let out = %s\nprint out\n", probe)
		}
		control.WriteString("destroy all\n")
	}
	for _, hertz := range []float64{1e-3, reference, treble} {
		ask(hertz, answers)
	}
	for _, a := range answers {
		if a.corner > 0 {
			ask(a.corner*(1-nearCorner), []answer{a})
			ask(a.corner*(1+nearCorner), []answer{a})
		}
	}
	values := run(t, path, d.text.String(), control.String())
	off := make([]float64, len(answers))
	n := len(answers)
	next := 3 * n
	for i, a := range answers {
		for k := range 2 {
			want := decibel(values[(k+1)*n+i])
			if want > -60 || a.at[k] > -60 {
				off[i] = max(off[i], math.Abs(a.at[k]-want))
			}
		}
		if a.corner > 0 {
			whole, before, after := values[i], values[next]/values[i], values[next+1]/values[i]
			next += 2
			if decibel(whole) > -60 && (before*before < 0.5 || after*after > 0.5) {
				off[i] = 1
			}
		}
	}
	return off
}

// run prints the values that a deck and its questions give, in their order.
func run(t *testing.T, path, circuit, control string) []float64 {
	t.Helper()
	file := filepath.Join(t.TempDir(), "bench.cir")
	deck := "drawn benches\n" + circuit + ".options gmin=1e-15 reltol=1e-6\n.control\nset numdgt=9\n" + control + "quit\n.endc\n.end\n"
	if err := os.WriteFile(file, []byte(deck), 0o600); err != nil {
		t.Fatal(err)
	}
	// How far it is goes to the standard error, in the middle of lines.
	out, err := exec.CommandContext(t.Context(), path, "-b", file).Output()
	if err != nil {
		t.Fatalf("%v\n%.2000s", err, out)
	}
	var values []float64
	for line := range strings.Lines(string(out)) {
		if number, ok := strings.CutPrefix(line, "out = "); ok {
			v, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
			if err != nil {
				t.Fatal(err)
			}
			values = append(values, v)
		}
	}
	if asked := strings.Count(control, "print"); len(values) != asked {
		t.Fatalf("%d of %d values came back\n%.2000s", len(values), asked, out)
	}
	return values
}
