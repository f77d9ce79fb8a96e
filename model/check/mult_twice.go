package check

import (
	"fmt"
	"slices"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

var multTwice = rule{
	Rule: Rule{
		Code:     "mult-fed-twice",
		Severity: "error",
		Title:    "two outputs are brought into one mult",
		Manual: `A mult shares one source among several destinations. It is metal and nothing else:
a second source in it does not mix, the two outputs drive each other. Looked for in
the rest patch and in the patch that a session keeps. Bring one source in and
leave its other jacks to destinations; mix in the desk or the software.`,
		Bad: Example{Studio: `studio: A mult as a mixer
gear:
  synth: {outputs: {out1: home-line}}
  organ: {outputs: {out1: home-line}}
bays:
  main: {pairs: 3, modes: isolated}
wiring:
  - synth/out1 -> main/t1
  - organ/out1 -> main/t2
mults: [[main/t1, main/t3, main/b3, main/t2]]
`},
		Good: Example{Studio: `studio: A mult that shares
gear:
  synth: {outputs: {out1: home-line}}
  organ: {outputs: {out1: home-line}}
bays:
  main: {pairs: 3, modes: isolated}
wiring:
  - synth/out1 -> main/t1
  - organ/out1 -> main/t2
mults: [[main/t1, main/t3, main/b3]]
`},
	},
	studio: func(v *view) []violation {
		var all []violation
		for _, m := range multsFedTwice(v, v.studio.Rest, v.rest) {
			all = append(all, m.finding(m.mult.Key, "in the rest patch the mult"))
		}
		return all
	},
	session: func(v *sessionView) []violation {
		if v.kept == nil {
			return nil
		}
		var all []violation
		for _, m := range multsFedTwice(v.view, *v.session.Patch, v.kept) {
			if !slices.ContainsFunc(v.rest.Contentions(), m.contention.same) {
				all = append(all, m.finding("patch", "with the patch that is kept the mult"))
			}
		}
		return all
	},
}

// fedMult is a mult into which a contention is brought at several jacks.
type fedMult struct {
	mult       studio.Mult
	contention contention
	// jacks and feeders are those of the mult and what comes in there, in pairs.
	jacks, feeders []name.Point
}

// contention is one of the room's, to be compared with others.
type contention heard.Contention

func (c contention) same(d heard.Contention) bool { return slices.Equal(c.Drivers, d.Drivers) }

func (m fedMult) finding(key, where string) violation {
	var ways []string
	for i, jack := range m.jacks {
		ways = append(ways, fmt.Sprintf("%s at %s", m.feeders[i], jack))
	}
	return violation{
		key:     orElse(key, "mults"),
		message: fmt.Sprintf("%s %s is fed by %s, which joins them", where, folded(m.mult.Jacks), sentence(ways)),
		hint:    "bring one source into a mult and take destinations from its other jacks; mix in the desk or the software",
	}
}

// multsFedTwice takes the mults out of the room and looks what still comes to
// each of their jacks.
func multsFedTwice(v *view, p patch.Patch, state *heard.State) []fedMult {
	contentions := state.Contentions()
	if len(contentions) == 0 || len(v.studio.Mults) == 0 {
		return nil
	}
	bare := *v.studio
	bare.Mults = nil
	without := heard.NewRoom(&bare).Hear(p)
	var all []fedMult
	for _, m := range v.studio.Mults {
		for _, c := range contentions {
			if fed := feeding(m, contention(c), without); len(fed.jacks) > 1 {
				all = append(all, fed)
			}
		}
	}
	return all
}

func feeding(m studio.Mult, c contention, without *heard.State) fedMult {
	fed := fedMult{mult: m, contention: c}
	for _, jack := range m.Jacks {
		for _, d := range c.Drivers {
			if without.Joined(d, jack) && !slices.Contains(fed.feeders, d) {
				fed.jacks, fed.feeders = append(fed.jacks, jack), append(fed.feeders, d)
				break
			}
		}
	}
	return fed
}

// inMult says whether mults are what joins a contention, of which their own rule
// speaks.
func (v *view) inMult(p patch.Patch, state *heard.State, c heard.Contention) bool {
	return slices.ContainsFunc(multsFedTwice(v, p, state), func(m fedMult) bool { return m.contention.same(c) })
}
