package plan

import (
	"regexp"
	"slices"
	"strings"

	"bayhand/model/name"
)

// placeAt finds the names of places in a reason, each one, a range or a list.
var placeAt = regexp.MustCompile(`\b[a-z][a-z0-9-]*/[a-z][a-z-]*[0-9]+(?:[,-][0-9]+)*(?:\.(?:send|return))?`)

// sameReason is what two reasons say of both: either where they are alike, or where they
// differ by places that make one range or list, these; empty where they are two. What each
// is not possible together with is its own, and so is what is counted: neither makes a range.
func sameReason(reason, other string) string {
	if reason == other {
		return reason
	}
	frames, others := placeAt.Split(reason, -1), placeAt.Split(other, -1)
	if !slices.Equal(frames, others) || strings.HasPrefix(reason, notPossible) || strings.HasPrefix(reason, itTakes) {
		return ""
	}
	places, more := placeAt.FindAllString(reason, -1), placeAt.FindAllString(other, -1)
	var said strings.Builder
	for i, frame := range frames {
		said.WriteString(frame)
		if i == len(places) {
			break
		}
		place := inOne(places[i], more[i])
		if place == "" {
			return ""
		}
		said.WriteString(place)
	}
	return said.String()
}

// inOne are two places, ranges or lists as one range or list; empty where they make none.
func inOne(place, other string) string {
	if place == other {
		return place
	}
	a, err := name.List(place)
	b, wrong := name.List(other)
	if err != nil || wrong != nil {
		return ""
	}
	folded := name.Fold(append(a, b...))
	if len(folded) != 1 {
		return ""
	}
	return folded[0]
}
