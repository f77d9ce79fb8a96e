package paper

import (
	"path/filepath"
	"slices"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/recall/words"
)

// NotGiven says what the patch of a file lacks of a session, as a problem of its sheet;
// nothing where it gives all.
func NotGiven(room *heard.Room, of *session.Session, in patch.Patch, file string) []string {
	faults := room.CheckGiven(of, in, nil)
	if len(faults) == 0 {
		return nil
	}
	var at []name.Point
	for _, f := range faults {
		if !f.Destination.IsZero() && !slices.Contains(at, f.Destination) {
			at = append(at, f.Destination)
		}
	}
	sentence := "The patch in {file} does not set up the whole session."
	if len(at) > 0 {
		sentence = "The patch in {file} does not set up the whole session: look at {places}."
	}
	return []string{words.Put(sentence, "file", filepath.Base(file), "places", words.In(room.Studio()).Points(at))}
}
