package houses_test

import (
	"slices"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/simulators/rooms/houses"
)

// The houses hold what rooms hold, and their answers use it: each thing is in some
// of them, so that a planner that was tried on all of them was tried on it.
func TestWhatTheHousesHold(t *testing.T) {
	counts, asked, already, total := map[string]int{}, 0, 0, 0
	drawn(func(_ string, h houses.House) {
		s, wants, present, answer := h.Read()
		total++
		for what, n := range features(s, wants, answer) {
			if counts[what] += 0; n > 0 {
				counts[what]++
			}
		}
		state := heard.NewRoom(s).Hear(present)
		for _, w := range wants.Wants {
			asked++
			if slices.Contains(state.Hears(w.Destination), w.Source) {
				already++
			}
		}
	})
	t.Logf("of %d houses: %v; %d of %d wants are heard already", total, counts, already, asked)
	for what, n := range counts {
		if n*50 < total {
			t.Errorf("%s: in %d of %d houses", what, n, total)
		}
	}
	if already*5 < asked || already*5 > asked*4 {
		t.Errorf("%d of %d wants are heard already", already, asked)
	}
}

func features(s *studio.Studio, asked *session.Session, answer patch.Patch) map[string]int {
	counts := map[string]int{
		"faulty": len(s.Faulty) + len(s.FaultyNormals), "rest crosspoints": len(s.Rest.Crosspoints), "inside": len(asked.Inside),
		"silent": len(asked.Silent), "dummies": len(answer.Dummies), "no dummies owned": 0, "cords": len(answer.Cords), "crosspoints": len(answer.Crosspoints),
		"contacts": 0, "outputs that let go": 0, "half-normal-top": 0, "parallel": 0, "normal": 0, "tie used": 0, "mult used": 0, "keep": 0, "insert": 0,
		"cascade used": 0, "split": 0, "split of three": 0, "cord of another length": 0, "loudspeaker": 0,
	}
	if s.Dummies == 0 {
		counts["no dummies owned"]++
	}
	room(counts, s, answer)
	fan := map[name.Point]int{}
	for _, w := range asked.Wants {
		fan[w.Source]++
		if w.Keep {
			counts["keep"]++
		}
		if w.Source.Part == name.Send || w.Destination.Part == name.Return {
			counts["insert"]++
		}
		if w.Destination.Owner == "speakers" || w.Destination.Owner == "speakers1" {
			counts["loudspeaker"]++
		}
	}
	for _, n := range fan {
		if n > 1 {
			counts["split"]++
		}
		if n > 2 {
			counts["split of three"]++
		}
	}
	return counts
}

// room counts what a studio has, and what an answer uses of it.
func room(counts map[string]int, s *studio.Studio, answer patch.Patch) {
	for _, b := range s.Bays {
		for _, m := range b.Modes {
			if _, counted := counts[m.String()]; counted {
				counts[m.String()]++
			}
		}
	}
	stage := map[name.Point]bool{} // outputs that are wired to another matrix
	for _, m := range s.Matrices {
		if m.Kind == studio.Contacts {
			counts["contacts"]++
		}
		if m.HighImpedance {
			counts["outputs that let go"]++
		}
		for _, w := range s.Wires {
			stage[w.From] = stage[w.From] || w.To.Owner == m.Name
		}
	}
	for _, x := range answer.Crosspoints {
		if stage[x.Output] {
			counts["cascade used"]++
		}
	}
	plugs := answer.Plugs()
	for _, t := range s.Ties {
		if slices.Contains(plugs, t.A) || slices.Contains(plugs, t.B) {
			counts["tie used"]++
		}
	}
	for _, m := range s.Mults {
		if slices.ContainsFunc(m.Jacks, func(j name.Point) bool { return slices.Contains(plugs, j) }) {
			counts["mult used"]++
		}
	}
	for _, c := range answer.Cords {
		if c.Length != s.Stock.Cords[0].Length {
			counts["cord of another length"]++
		}
	}
}
