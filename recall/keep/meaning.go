package keep

import (
	"crypto/sha256"
	"encoding"
	"encoding/hex"
	"encoding/json"
	"slices"

	"bayhand/model/heard"
	"bayhand/model/scope"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// site is what of a studio is worked out once, since every recall and every look at the
// files asks for it. It never changes.
type site struct {
	building *scope.Building
	// sum is the state of SHA-256 after the studio, without what is only for people; nil
	// where that does not print.
	sum []byte
	// room is the studio's metal; nil where nobody hears it.
	room *heard.Room
}

// newSite reads a studio, in time linear in it; nil for none.
func newSite(s *studio.Studio) *site {
	if s == nil {
		return nil
	}
	text, err := json.Marshal(unlabelled(*s))
	if err != nil {
		// Levels that are not numbers do not print; the readers let none through.
		return &site{building: scope.NewBuilding(s)}
	}
	h := sha256.New()
	h.Write([]byte("["))
	h.Write(text)
	sum, _ := h.(encoding.BinaryMarshaler).MarshalBinary() // that of SHA-256 has no error
	return &site{building: scope.NewBuilding(s), sum: sum}
}

// site is that of the studio.
func (w planning) site() *site {
	if w.known != nil {
		return w.known
	}
	return newSite(w.studio)
}

// meaning is a digest of all that a plan for a session depends on. Labels, links, notes,
// settings and the patch kept in the session's file are no part of it. It is that of a
// list of JSON: the studio, and what is asked of it.
func (s *site) meaning(wanted *session.Session) string {
	asks := []any{}
	if wanted != nil {
		wants := slices.Clone(wanted.Wants)
		for i := range wants {
			wants[i].Label, wants[i].Key = "", ""
		}
		asks = append(asks, wants, wanted.Silent, wanted.Cut, wanted.Loops, wanted.Inside)
	}
	text, err := json.Marshal(asks)
	h := sha256.New()
	if err != nil || s.sum == nil || h.(encoding.BinaryUnmarshaler).UnmarshalBinary(s.sum) != nil {
		return ""
	}
	if len(asks) > 0 {
		h.Write([]byte(","))
	}
	h.Write(text[1:])
	return hex.EncodeToString(h.Sum(nil))
}

// unlabelled is a studio without what is only for people, schedules and devices.
func unlabelled(room studio.Studio) studio.Studio {
	room.Name, room.Drift = "", studio.DriftUnsaid
	room.Gear, room.Bays, room.Matrices = slices.Clone(room.Gear), slices.Clone(room.Bays), slices.Clone(room.Matrices)
	for i := range room.Gear {
		room.Gear[i].Label = ""
	}
	for i := range room.Bays {
		room.Bays[i].Label = ""
	}
	for i, m := range room.Matrices {
		room.Matrices[i].Label = ""
		if m.Device != nil {
			room.Matrices[i].Device = &studio.Device{} // that it is driven is all that a plan can know
		}
	}
	return bareMetal(room)
}

// bareMetal is what joins, without its cables and its places in the file.
func bareMetal(room studio.Studio) studio.Studio {
	room.Wires, room.Ties = slices.Clone(room.Wires), slices.Clone(room.Ties)
	room.Mults, room.Normals = slices.Clone(room.Mults), slices.Clone(room.Normals)
	for i, w := range room.Wires {
		room.Wires[i] = studio.Wire{From: w.From, To: w.To}
	}
	for i, t := range room.Ties {
		room.Ties[i] = studio.Tie{A: t.A, B: t.B}
	}
	for i, m := range room.Mults {
		room.Mults[i] = studio.Mult{Jacks: m.Jacks}
	}
	for i, n := range room.Normals {
		room.Normals[i] = studio.Normal{From: n.From, To: n.To}
	}
	return room
}
