package keep

import (
	"encoding/json"
	"slices"
	"strconv"

	"bayhand/model/plan"
)

// adopt makes a new plan the way of the intent. Steps that were left before and
// are wanted again keep their IDs, so that a printed list stays true.
func (in Intent) adopt(p *plan.Plan, q question) Intent {
	own := *p
	own.Steps, own.Moves = renamed(p, earlier(in))
	in.NextID = max(in.NextID, q.first)
	in.trim()
	for _, s := range own.Steps {
		if n, err := strconv.Atoi(s.ID); err == nil {
			in.NextID = max(in.NextID, n+1)
		}
	}
	in.Plan, in.From, in.Before = &own, q.ask.From, len(in.Done)
	in.Left, in.Sending, in.Failed, in.Kept, in.Given = nil, nil, nil, nil, false
	if q.goneBy(p) {
		in.Left = slices.Clone(own.Steps)
	}
	return in
}

// mostDone bounds the steps of devices that are remembered of earlier plans: a
// room that is kept for months is put back many times.
const mostDone = 50

// trim forgets the oldest steps of devices. What a person did is kept, since it
// can be taken back.
func (in *Intent) trim() {
	devices := 0
	for _, d := range in.Done {
		if d.Do == plan.Switch {
			devices++
		}
	}
	in.Done = slices.DeleteFunc(slices.Clone(in.Done), func(d DoneStep) bool {
		if d.Do != plan.Switch || devices <= mostDone {
			return false
		}
		devices--
		return true
	})
}

// earlier are the steps of the plan before that are not done, by what they do.
func earlier(in Intent) map[string]string {
	ids := map[string]string{}
	if in.Plan == nil {
		return ids
	}
	done := doneIDs(in)
	for _, s := range slices.Concat(in.Left, in.Plan.Steps) {
		if key := action(s); !done[s.ID] && ids[key] == "" {
			ids[key] = s.ID
		}
	}
	return ids
}

// action is what a step does, without when and why.
func action(s plan.Step) string {
	text, err := json.Marshal([]any{s.By, s.Do, orEmpty(s.Ends), orEmpty(s.To), s.Length, s.Poles, orEmpty(s.Crosspoints), orEmpty(s.Carried), orEmpty(s.Carries)})
	if err != nil {
		return s.ID // names and lengths always print
	}
	return string(text)
}

func renamed(p *plan.Plan, ids map[string]string) ([]plan.Step, []plan.Move) {
	to := map[string]string{}
	taken := map[string]bool{}
	for _, s := range p.Steps {
		if id := ids[action(s)]; id != "" && !taken[id] {
			to[s.ID], taken[id] = id, true
		}
	}
	name := func(id string) string {
		if to[id] != "" {
			return to[id]
		}
		return id
	}
	steps := slices.Clone(p.Steps)
	for i := range steps {
		steps[i].ID = name(steps[i].ID)
		after := slices.Clone(orEmpty(steps[i].After))
		for j := range after {
			after[j] = name(after[j])
		}
		steps[i].After = after
	}
	moves := slices.Clone(orEmpty(p.Moves))
	for i := range moves {
		moves[i].ID = name(moves[i].ID)
	}
	return steps, moves
}

func (in *Intent) newID() string {
	in.NextID = max(in.NextID, 1)
	id := strconv.Itoa(in.NextID)
	in.NextID++
	return id
}

// drop takes steps out of those left, as if nobody had asked for them.
func (in *Intent) drop(ids ...string) {
	in.Left = slices.DeleteFunc(slices.Clone(in.Left), func(s plan.Step) bool { return slices.Contains(ids, s.ID) })
	for i, s := range in.Left {
		in.Left[i].After = slices.DeleteFunc(slices.Clone(s.After), func(id string) bool { return slices.Contains(ids, id) })
	}
}

// finish moves a step from those left to those done.
func (in *Intent) finish(id string, fact Fact) {
	i := slices.IndexFunc(in.Left, func(s plan.Step) bool { return s.ID == id })
	if i < 0 {
		return
	}
	in.Done = append(slices.Clone(in.Done), DoneStep{in.Left[i], fact})
	in.Left = slices.Delete(slices.Clone(in.Left), i, i+1)
	in.Sending = without(in.Sending, id)
	in.Failed = slices.DeleteFunc(slices.Clone(in.Failed), func(f Failure) bool { return f.ID == id })
}

func without[T comparable](list []T, one T) []T {
	return slices.DeleteFunc(slices.Clone(list), func(x T) bool { return x == one })
}

// opposite is the step that brings back what a mute took.
func opposite(do plan.Do) plan.Do {
	switch do {
	case plan.Mute:
		return plan.Unmute
	case plan.PhantomOff:
		return plan.PhantomOn
	case plan.Unmute, plan.PhantomOn, plan.Switch, plan.Plug, plan.Pull, plan.MoveEnd,
		plan.PlugDummy, plan.PullDummy, plan.PlugLead, plan.PullLead, plan.ChangeOver:
	}
	return ""
}
