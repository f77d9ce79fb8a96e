package plan

import (
	"fmt"
	"slices"
	"strings"
)

// Prefer is the objective by which one of several patches is chosen.
type Prefer uint8

const (
	// PreferSame takes the session's own last patch where it still gives the
	// session, and is PreferPlain otherwise.
	PreferSame Prefer = iota
	// PreferPlain lets no cord hang, chains no mults and taps nothing that the
	// session does not split, while another way exists.
	PreferPlain
	// PreferFewest looks at the number of plugs handled alone.
	PreferFewest
)

var preferences = []string{PreferSame: "same", PreferPlain: "plain", PreferFewest: "fewest"}

// Preferences are the words of all objectives, the usual one first.
func Preferences() []string { return slices.Clone(preferences) }

// String is the word that people write.
func (p Prefer) String() string {
	if int(p) >= len(preferences) {
		return "unknown"
	}
	return preferences[p]
}

// ParsePrefer is the inverse of String; no word is PreferSame.
func ParsePrefer(word string) (Prefer, error) {
	if word == "" {
		return PreferSame, nil
	}
	if at := slices.Index(preferences, word); at >= 0 {
		return Prefer(at), nil
	}
	last := len(preferences) - 1
	return 0, fmt.Errorf("%q is no preference; write %s or %s", word, strings.Join(preferences[:last], ", "), preferences[last])
}
