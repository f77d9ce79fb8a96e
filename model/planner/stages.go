package planner

import "context"

// making is a plan while it is made.
type making struct {
	task *task
	ctx  context.Context
	// best is the best plan so far, nil before there is one; least is a proved
	// lower bound on the plugs of all that are as good as it in what goes before.
	best  *candidate
	least int
	// impossible is true once it is proved that no patch gives the session.
	impossible bool
	// stopped says that the bound could have risen further.
	stopped bool
}

// stages come one after the other. Each could be left out, and plans would be
// worse: a test leaves out one after the other.
var stages = []struct {
	name string
	run  func(*making)
}{
	{"bound", (*making).findBound},       // fewer plugs than this are in no plan
	{"route", (*making).route},           // a first plan, want by want
	{"rebuild", (*making).rebuild},       // the same plan with parts of it built otherwise
	{"exact", (*making).searchExactly},   // the best plan of all, and the proof that it is
	{"straighten", (*making).straighten}, // the same plan with shorter cords
}

func (m *making) run() {
	m.stopped = true
	for _, s := range stages {
		if !m.task.options.leavesOut(s.name) {
			s.run(m)
		}
	}
}

func (m *making) findBound() { m.least = m.task.floor() }

func (m *making) route() { m.best = m.task.build(m.ctx, m.least) }

func (m *making) rebuild() {
	if m.best != nil && !m.best.reaches(m.least) && !m.task.options.LeaveCords {
		m.best = m.task.rebuilt(m.ctx, m.best, m.least)
	}
}

func (m *making) searchExactly() {
	if m.best != nil && m.task.options.Effort == 0 && len(m.task.Jacks) > small {
		m.task.options.Effort = DefaultEffort / 10 // there is an answer, and a proof is out of reach
	}
	s := m.task.search(m.ctx, m.best, m.least)
	m.best, m.impossible, m.stopped = s.best, s.impossible, s.stopped
	if m.best != nil {
		m.least = s.bound()
	}
}

func (m *making) straighten() {
	if m.best != nil {
		m.best = m.task.straightened(m.best)
	}
}
