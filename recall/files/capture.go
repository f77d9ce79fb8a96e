package files

import (
	"bayhand/model/capture"
	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/model/text"
	"bayhand/recall/keep"
)

// Captured is the file of a session that a patch gives, in the room of the session
// in; nil for none.
func (s *Studio) Captured(found patch.Patch, name string, in *session.Session) []byte {
	if in == nil {
		in = &session.Session{}
	}
	made := capture.Within(s.Room, in, found, name)
	remarks := []string{"Captured from what was known of the patch. Read it through."}
	if carried := text.Chains(capture.Normals(s.Room, in, found), s.Studio, made.Guests); len(carried) > 0 {
		remarks = append(remarks, "Not listed, because the normals carry it without a cord:")
		for _, line := range carried {
			remarks = append(remarks, "  "+line)
		}
	}
	return text.WriteSession(*made, text.InStudio(s.Studio), text.Remarks(remarks...))
}

// LeftOut is what is in a patch, in the room of the session in, nil for none, and not in the
// file: what joins outputs, and what closes loops.
func (s *Studio) LeftOut(found patch.Patch, in *session.Session) capture.Left {
	if in == nil {
		in = &session.Session{}
	}
	return capture.LeftOut(s.Room, in, found)
}

// Held is the session that the room is said to be in, by its name; nil where that is
// none, or cannot be read without errors.
func (l *Library) Held(in *Studio, name string) *session.Session {
	if name == "" || name == keep.RestName {
		return nil
	}
	s, err := l.Session(in, name)
	if err != nil || !s.Sound() {
		return nil
	}
	return s.Session
}

// Title is what people read for a session; empty where it cannot be read.
func (l *Library) Title(in *Studio, name string) string {
	if name == "" || name == keep.RestName {
		return ""
	}
	s, err := l.Session(in, name)
	if err != nil || s.Session == nil {
		return ""
	}
	return s.Session.Title
}
