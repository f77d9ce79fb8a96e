package plan

import (
	"reflect"
	"slices"
	"strings"

	"bayhand/model/phrase"
)

// NotTogether says that something is not possible beside some other wants, with why.
func NotTogether(others, why string) string {
	return phrase.Put("it is not possible together with {others}: {why}", "others", others, "why", why)
}

// notPossible begins a reason for one thing that is missing.
const notPossible = "it is not possible "

// Merged are what is missing with those in one that belong together and have one reason, or
// reasons that differ by the jacks and ports alone: the want of each of these is all of
// theirs. Wants belong together that are of one line of the session or count on, such as
// left and right. What would do for several, and who has it, is said at the last of them.
func Merged(all []Missing) []Missing {
	var joined []Missing
	var wants [][]string
	for _, m := range all {
		at := -1
		for i, o := range joined {
			if sameReason(o.Because, m.Because) != "" && (o.Key == m.Key || countsOn(wants[i], m.Want)) {
				at = i
				break
			}
		}
		if at < 0 {
			joined, wants = append(joined, m), append(wants, []string{m.Want})
			continue
		}
		wants[at] = append(wants[at], m.Want)
		joined[at].Because = sameReason(joined[at].Because, m.Because)
		joined[at].Mended = append(slices.Clone(joined[at].Mended), m.Mended...)
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

// countsOn says whether a want goes on from some others, or has their source.
func countsOn(wants []string, want string) bool {
	return len(Folded(append(slices.Clone(wants), want))) == 1
}

// These begin what would do for one thing that is missing, and for each of several.
const (
	itWould   = "it would be possible "
	eachWould = "each would be possible "
)

// ofSeveral is the reason for one thing that is missing said of it and some more.
func ofSeveral(reason string, more int) string {
	if rest, found := strings.CutPrefix(reason, itTakes); found {
		return phrase.Put("each takes {rest}", "rest", rest)
	}
	rest, found := strings.CutPrefix(reason, notPossible)
	if !found {
		return strings.Replace(reason, itWould, eachWould, 1)
	}
	if others, things, found := strings.Cut(rest, ": together they take "); found {
		return phrase.Count(more, "neither is possible {others}: together with either they take {things}",
			"none of these is possible {others}: together with any of them they take {things}", "others", others, "things", things)
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
