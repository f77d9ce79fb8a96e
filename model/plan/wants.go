package plan

import (
	"reflect"
	"slices"
	"strings"

	"bayhand/model/name"
	"bayhand/model/phrase"
)

// FoldWants are wants and silences as Folded has them, in one phrase.
func FoldWants(texts []string) string { return strings.Join(Folded(texts), ", ") }

// Folded are wants and silences, in words of the file, made short: those that count on
// as ranges, "a/out1-4 -> b/in1-4", and the destinations of one source together. Silences
// come last.
func Folded(texts []string) []string {
	var parts []string
	var wants [][2]name.Point
	var silent []name.Point
	for _, text := range texts {
		if w, ok := parseWant(text); ok {
			wants = append(wants, w)
		} else if p, ok := parseSilence(text); ok {
			silent = append(silent, p)
		} else {
			parts = append(parts, text)
		}
	}
	for len(wants) > 0 {
		n := max(sameSource(wants), countOn(wants))
		parts = append(parts, wantsWords(wants[:n]))
		wants = wants[n:]
	}
	if len(silent) > 0 {
		parts = append(parts, SilenceText(name.Fold(silent)...))
	}
	return parts
}

// WantText is a want in words of the file.
func WantText(source, destination string) string {
	return phrase.Put("{source} -> {destination}", "source", source, "destination", destination)
}

// silenceAt begins the words for a silence.
const silenceAt = "silence at "

// SilenceText is a silence in words.
func SilenceText(points ...string) string {
	return phrase.Put("silence at {points}", "points", strings.Join(points, ", "))
}

func parseWant(text string) (want [2]name.Point, ok bool) {
	from, to, found := strings.Cut(text, " -> ")
	a, err := name.Parse(from)
	b, wrong := name.Parse(to)
	return [2]name.Point{a, b}, found && err == nil && wrong == nil
}

func parseSilence(text string) (name.Point, bool) {
	at, found := strings.CutPrefix(text, silenceAt)
	p, err := name.Parse(at)
	return p, found && err == nil
}

// sameSource is how many of the first wants have one source.
func sameSource(wants [][2]name.Point) int {
	n := 1
	for n < len(wants) && wants[n][0] == wants[0][0] {
		n++
	}
	return n
}

// countOn is how many of the first wants count on, in sources and destinations.
func countOn(wants [][2]name.Point) int {
	n := 1
	for n < len(wants) && follows(wants[n-1][0], wants[n][0]) && follows(wants[n-1][1], wants[n][1]) {
		n++
	}
	return n
}

// follows says whether a point is the next of its kind.
func follows(p, q name.Point) bool {
	p.Number++
	return p == q && q.Number > 1
}

func wantsWords(wants [][2]name.Point) string {
	var sources, destinations []name.Point
	for _, w := range wants {
		sources, destinations = append(sources, w[0]), append(destinations, w[1])
	}
	to := name.Fold(destinations)
	if len(to) > 1 {
		to[0] = phrase.Put("[{destinations}]", "destinations", strings.Join(to, ", "))
	}
	return WantText(name.Fold(slices.Compact(sources))[0], to[0])
}

// NotTogether says that something is not possible beside some other wants, with why.
func NotTogether(others, why string) string {
	return phrase.Put("it is not possible together with {others}: {why}", "others", others, "why", why)
}

// notPossible begins a reason for one thing that is missing.
const notPossible = "it is not possible "

// Merged are what is missing with those in one that are of one line of the session and
// have one reason: the want of each of these is all of theirs. What would do for several,
// and who has it, is said at the last of them.
func Merged(all []Missing) []Missing {
	var joined []Missing
	wants := map[int][]string{}
	for _, m := range all {
		at := slices.IndexFunc(joined, func(o Missing) bool { return o.Key == m.Key && o.Because == m.Because })
		if at < 0 {
			at, joined = len(joined), append(joined, m)
		}
		wants[at] = append(wants[at], m.Want)
	}
	for i := range joined {
		if joined[i].Want = FoldWants(wants[i]); len(wants[i]) > 1 {
			joined[i].Because = ofSeveral(joined[i].Because, len(wants[i])-1)
		}
	}
	for i := range joined {
		for _, later := range joined[i+1:] {
			if sameRemedy(joined[i], later) {
				joined[i].Because = withoutEnd(joined[i].Because, later.Because)
			}
		}
	}
	return joined
}

// itTakes begins a reason for one thing that is missing by itself.
const itTakes = "it takes "

// ofSeveral is the reason for one thing that is missing said of it and some more.
func ofSeveral(reason string, more int) string {
	if rest, found := strings.CutPrefix(reason, itTakes); found {
		return phrase.Put("each takes {rest}", "rest", rest)
	}
	rest, found := strings.CutPrefix(reason, notPossible)
	if !found {
		return reason
	}
	if others, things, found := strings.Cut(rest, ": they take "); found {
		return phrase.Count(more, "neither is possible {others}: with either they take {things}",
			"none of these is possible {others}: with any of them they take {things}", "others", others, "things", things)
	}
	return phrase.Count(more, "neither is possible {rest}", "none of these is possible {rest}", "rest", rest)
}

// sameRemedy says whether the same would do for two, or others have what both lack.
func sameRemedy(a, b Missing) bool {
	return len(a.Enough) > 0 && reflect.DeepEqual(a.Enough, b.Enough) || len(a.InUse) > 0 && reflect.DeepEqual(a.InUse, b.InUse)
}

// afterReason stands between the clauses of a reason.
const afterReason = "; "

// withoutEnd is a reason without the clauses at its end that another ends with, too; the
// first stays.
func withoutEnd(reason, other string) string {
	clauses, others := strings.Split(reason, afterReason), strings.Split(other, afterReason)
	for len(clauses) > 1 && len(others) > 0 && clauses[len(clauses)-1] == others[len(others)-1] {
		clauses, others = clauses[:len(clauses)-1], others[:len(others)-1]
	}
	return strings.Join(clauses, afterReason)
}
