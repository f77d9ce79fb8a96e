package plan

import (
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
	slices.SortFunc(silent, name.Point.Compare)
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
