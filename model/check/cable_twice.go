package check

import (
	"fmt"

	"bayhand/model/studio"
)

var cableTwice = rule{
	Rule: Rule{
		Code:     "cable-twice",
		Severity: "error",
		Title:    "one number is on two cables",
		Manual: `The number of a cable is how it is found again, years later, in the dark behind a
rack. One jacket has one number, one kind and one length, though it may hold several
pairs: the lines of the file that carry a number say the same of it, and share one end
at the least.`,
		Bad: Example{Studio: `studio: Twice number 7
gear:
  desk: {outputs: {mix1: pro-line}}
  synth: {outputs: {out1: pro-line}}
bays:
  main: {pairs: 2, modes: isolated}
  far: {pairs: 2, modes: isolated}
wiring:
  - {from: desk/mix1, to: main/t1, cable: "0007"}
  - {from: synth/out1, to: far/t1, cable: "0007"}
`},
		Good: Example{Studio: `studio: Numbers 7 and 8
gear:
  desk: {outputs: {mix1: pro-line}}
  synth: {outputs: {out1: pro-line}}
bays:
  main: {pairs: 2, modes: isolated}
  far: {pairs: 2, modes: isolated}
wiring:
  - {from: desk/mix1, to: main/t1, cable: "0007"}
  - {from: synth/out1, to: far/t1, cable: "0008"}
`},
	},
	studio: cablesTwice,
}

func cablesTwice(v *view) []violation {
	first := map[string]run{}
	said := map[string]bool{}
	var all []violation
	for _, r := range v.runs() {
		number := r.run.Cable
		one, known := first[number]
		switch {
		case number == "":
			continue
		case !known:
			first[number] = r
			continue
		}
		if why := apartFrom(one, r); why != "" && !said[number+r.key] {
			said[number+r.key] = true
			all = append(all, violation{
				key:     r.key,
				message: fmt.Sprintf("the cable from %s to %s has the number %s, which that from %s to %s has: %s", r.a, r.b, number, one.a, one.b, why),
				hint:    "give one of them another number, or say the same of both",
			})
		}
	}
	return all
}

// apartFrom says why two runs with one number cannot be in one jacket; empty
// where they can.
func apartFrom(a, b run) string {
	owners := func(r run) [2]string { return [2]string{r.a.Owner, r.b.Owner} }
	p, q := owners(a), owners(b)
	differ := func(x, y studio.Run) bool {
		return x.Kind != "" && y.Kind != "" && x.Kind != y.Kind || x.Length > 0 && y.Length > 0 && x.Length != y.Length
	}
	switch {
	case p[0] != q[0] && p[1] != q[1] && p[0] != q[1] && p[1] != q[0]:
		return "they share no end"
	case differ(a.run, b.run):
		return "their kinds or lengths differ"
	}
	return ""
}
