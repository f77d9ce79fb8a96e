package trial

import (
	"math/rand/v2"
	"testing"

	"bayhand/model/graph"
	"bayhand/model/heard"
	"bayhand/model/planner/problem"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/simulators/rooms"
)

// A draft that changes part by part is judged as package heard judges the whole.
func TestTrialIsJudgedAsHeard(t *testing.T) {
	var clean, wrong, loops, looked int
	for seed := range uint64(600 / share) {
		room := rooms.DrawUpTo(16, seed)
		r := rand.New(rand.NewPCG(seed, 7))
		task := drawTask(t, r, room)
		trial := New(task, task.Present)
		for step := range 30 {
			if step > 0 {
				out, in := drawChange(r, trial)
				trial.Change(out, in)
			}
			state := task.Room.Hear(task.Named(trial.Patch()))
			faults := task.Judge.Faults(state)
			want := weigh(faults)
			if got := trial.faults; got != want || trial.loops != hasLoop(faults) {
				t.Fatalf("seed %d, step %d: %d is wrong, loops %v; heard says %v", seed, step, got, trial.loops, faults)
			}
			looked++
			switch {
			case trial.loops:
				loops++
			case want == 0:
				clean++
			default:
				wrong++
			}
		}
	}
	t.Logf("%d drafts: %d with nothing wrong, %d with something, %d with loops", looked, clean, wrong, loops)
	if clean < 400/share || wrong < 400/share || loops < 40/share {
		t.Error("too few of a kind to prove much")
	}
}

// drawTask asks something of a room.
func drawTask(t *testing.T, r *rand.Rand, room rooms.Room) *problem.Problem {
	t.Helper()
	s := room.Session()
	whole := room.Whole()
	var outputs, inputs []studio.Port
	for _, g := range whole.Gear {
		for _, p := range g.Ports {
			if p.Direction == studio.Output {
				outputs = append(outputs, p)
			} else {
				inputs = append(inputs, p)
			}
		}
	}
	for _, in := range inputs {
		switch r.IntN(8) {
		case 0:
			if len(outputs) > 0 {
				out := outputs[r.IntN(len(outputs))]
				s.Wants = append(s.Wants, session.Want{Source: out.Point, Destination: in.Point})
			}
		case 1:
			s.Silent = append(s.Silent, in.Point)
		case 2:
			if r.IntN(4) == 0 {
				s.Loops = append(s.Loops, in.Point)
			}
		}
	}
	if r.IntN(4) == 0 {
		s.Cut = append(s.Cut, whole.Gear[r.IntN(len(whole.Gear))].Name)
	}
	task, err := problem.New(heard.NewRoom(room.Studio).For(s, room.Patch), room.Patch, s, problem.Options{})
	if err != nil {
		t.Fatalf("%s: %v", room.Studio.Name, err)
	}
	return task
}

// drawChange takes one part out and puts one in, where there is place.
func drawChange(r *rand.Rand, trial *Trial) (out, in []graph.Part) {
	if parts := trial.Patch().Parts(); len(parts) > 0 && r.IntN(2) == 0 {
		out = []graph.Part{parts[r.IntN(len(parts))]}
	}
	free := func() int {
		j := r.IntN(len(trial.problem.Jacks))
		if trial.Plugs[j].Kind != 0 {
			return graph.None
		}
		return j
	}
	a, b := free(), free()
	switch {
	case r.IntN(4) == 0 && len(trial.problem.Crosses) > 0:
		x := r.IntN(len(trial.problem.Crosses))
		if o := trial.problem.Crosses[x].Output; len(trial.State.Behind(o)) == 0 {
			in = append(in, graph.Part{Kind: graph.Cross, A: x})
		}
	case a == graph.None || b == graph.None || a == b || trial.problem.Jacks[a].Socket || trial.problem.Jacks[b].Socket:
		if p := r.IntN(len(trial.problem.Ports) + 1); a != graph.None && p < len(trial.problem.Ports) && trial.Leads[p] == graph.None {
			in = append(in, graph.Part{Kind: graph.Lead, A: p, B: a})
		}
	case r.IntN(4) == 0:
		in = append(in, graph.Part{Kind: graph.Dummy, A: a})
	case r.IntN(6) == 0:
		in = append(in, graph.Part{Kind: graph.Cord, A: a, B: graph.None})
	default:
		ends := graph.Ordered([2]int{a, b})
		in = append(in, graph.Part{Kind: graph.Cord, A: ends[0], B: ends[1]})
	}
	return out, in
}

// weigh is how much is wrong by what package heard says, loops left out.
func weigh(faults []heard.Fault) int {
	total := 0
	for _, f := range faults {
		switch f.Kind {
		case heard.NotHeard:
			total += missingWeight
		case heard.Joined:
			total += joinedWeight
		case heard.Howls:
		default:
			total += strayWeight
		}
	}
	return total
}

func hasLoop(faults []heard.Fault) bool {
	for _, f := range faults {
		if f.Kind == heard.Howls {
			return true
		}
	}
	return false
}
