package check

import (
	"slices"
	"strings"

	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/studio"
	"bayhand/model/text"
)

var acceptedNothing = Rule{
	Code:     "accepted-nothing",
	Severity: "advice",
	Title:    "an acceptance meets no finding",
	Manual: `Under accept: in the studio's file stand findings that somebody has looked at and
leaves as they are: the code, the points as the finding names them, and why. Those are
counted, not printed. What is accepted is that very finding: where it would name other
points it is said again, and an acceptance that meets nothing is said here, since it
may be about what was mended or renamed long ago. An error cannot be accepted: it can
damage something or cannot work.`,
	Bad: Example{Studio: `studio: Accepted, and mended since
gear:
  desk: {outputs: {mix1: pro-line}}
  recorder: {inputs: {in1: pro-line}}
bays:
  main: {pairs: 1, modes: half-normal}
wiring:
  - desk/mix1 -> main/t1
  - main/b1 -> recorder/in1
accept:
  - {finding: level-differs, at: recorder/in1, because: the switch at its rear stands at -10 dBV}
`},
	Good: Example{Studio: `studio: Accepted
gear:
  desk: {outputs: {mix1: pro-line}}
  cassette: {inputs: {in1: home-line}}
bays:
  main: {pairs: 1, modes: half-normal}
wiring:
  - desk/mix1 -> main/t1
  - main/b1 -> cassette/in1
accept:
  - {finding: level-differs, at: cassette/in1, because: a level box is in its cable}
`},
}

// Accept parts findings into those that are left to say and how many of them somebody
// has looked at.
func Accept(findings []Finding, accepted []studio.Acceptance) (left []Finding, count int) {
	left = slices.DeleteFunc(slices.Clone(findings), func(f Finding) bool {
		return slices.ContainsFunc(accepted, func(a studio.Acceptance) bool { return meets(a, f) })
	})
	return left, len(findings) - len(left)
}

func meets(a studio.Acceptance, f Finding) bool {
	return f.Severity != text.Error && f.Code == a.Finding && names(f.Message, a.At)
}

// Unmet are the acceptances that meet none of the findings, each as a finding of its
// own. It takes the findings of the studio and of all its sessions.
func Unmet(all []Finding, accepted []studio.Acceptance, places text.Places) []Finding {
	var out []violation
	for _, a := range accepted {
		if !slices.ContainsFunc(all, func(f Finding) bool { return meets(a, f) }) {
			out = append(out, violation{key: a.Key, message: acceptsNothing(a), hint: nearestTo(all, a)})
		}
	}
	return rule{Rule: acceptedNothing}.placed(out, places)
}

func acceptsNothing(a studio.Acceptance) string {
	if len(a.At) == 0 {
		return phrase.Put("this accepts {finding}, and there is no such finding", "finding", a.Finding)
	}
	return phrase.Put("this accepts {finding} at {points}, and there is no such finding", "finding", a.Finding, "points", folded(a.At))
}

// nearestTo says what there is beside what was accepted.
func nearestTo(all []Finding, a studio.Acceptance) string {
	for _, f := range all {
		if f.Code == a.Finding && f.Severity == text.Error && names(f.Message, a.At) {
			return "it is an error now, which cannot be accepted"
		}
	}
	if i := slices.IndexFunc(all, func(f Finding) bool { return f.Code == a.Finding }); i >= 0 {
		return phrase.Put("take it out, or accept what is found: {finding}", "finding", all[i].Message)
	}
	codes := make([]string, 0, len(Rules()))
	for _, r := range Rules() {
		codes = append(codes, r.Code)
	}
	if !slices.Contains(codes, a.Finding) {
		if meant := phrase.Nearest(a.Finding, codes); meant != "" {
			return phrase.Put("there is no finding of that code; did you mean {code}?", "code", meant)
		}
		return "there is no finding of that code; bayhand manual findings has all of them"
	}
	return "take it out if that was mended"
}

// names says whether a message names exactly these points in one of its words. A
// finding names all that it is about as files have it, so what a person reads there
// is what they write into accept:.
func names(message string, at []name.Point) bool {
	if len(at) == 0 {
		return true
	}
	for _, word := range strings.Fields(message) {
		word = strings.Trim(word, ",;:()\"'")
		if len(at) == 1 && word == at[0].String() {
			return true
		}
		points, err := name.List(word)
		if err == nil && slices.Equal(points, at) {
			return true
		}
	}
	return false
}

// Said says whether earlier findings have said all of what one says: they have its code
// and, together, all the points that it names. Where a plug parts what was one finding
// into two, nothing is new.
func Said(before []Finding, f Finding) bool {
	known := map[name.Point]bool{}
	for _, b := range before {
		if b == f {
			return true
		}
		if b.Code == f.Code {
			for _, p := range pointsIn(b.Message) {
				known[p] = true
			}
		}
	}
	all := pointsIn(f.Message)
	return len(all) > 0 && !slices.ContainsFunc(all, func(p name.Point) bool { return !known[p] })
}

// pointsIn are the points that a message names, as files have them.
func pointsIn(message string) []name.Point {
	var all []name.Point
	for _, word := range strings.Fields(message) {
		if points, err := name.List(strings.Trim(word, ",;:()\"'")); err == nil {
			all = append(all, points...)
		}
	}
	return all
}
