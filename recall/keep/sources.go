package keep

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"
)

// unknown is why a session is not among those that were read.
func (f Files) unknown(session string) error {
	for _, p := range f.Problems {
		switch {
		case p.Severity != "error":
		case f.Studio == nil && slices.Contains(f.Names, session):
			return tell(ErrUnknownSession, "the session %s cannot be read while the studio's file has errors: %s", session, p.Message)
		case mentions(p.Message, session):
			return tell(ErrUnknownSession, "the session %s cannot be read: %s", session, p.Message)
		}
	}
	names := f.Names
	if len(names) == 0 {
		return tell(ErrUnknownSession, "there is no session %s, nor any other that can be read", session)
	}
	return tell(ErrUnknownSession, "there is no session %s; there are %s", session, some(names))
}

// mentions says whether a problem is of the file of a session, by its name or path, and not
// of one whose name only has that in it.
func mentions(message, session string) bool {
	file := session
	if !strings.HasSuffix(file, ".yaml") {
		file += ".yaml"
	}
	for _, before := range []string{"/", `\`, " "} {
		if strings.Contains(message, before+file) {
			return true
		}
	}
	return strings.HasPrefix(message, file) || strings.Contains(message, strconv.Quote(session))
}

// some are the first of many names, in a sentence.
func some(names []string) string {
	const most = 20
	if len(names) <= most {
		return strings.Join(names, ", ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(names[:most], ", "), len(names)-most)
}

// noStudio says why there is no studio.
func (f Files) noStudio() error {
	for _, p := range f.Problems {
		if p.Severity == "error" {
			return tell(ErrNoStudio, "the studio's file cannot be read: %s", p.Message)
		}
	}
	return tell(ErrNoStudio, "the studio's file cannot be read")
}

// since gives problems of the files that were there before their time.
func (f Files) since(had []Problem, at time.Time) Files {
	f.Problems = slices.Clone(f.Problems)
	for i, p := range f.Problems {
		if !p.Since.IsZero() {
			continue
		}
		f.Problems[i].Since = at
		for _, before := range had {
			if before.Message == p.Message {
				f.Problems[i].Since = before.Since
			}
		}
	}
	return f
}
