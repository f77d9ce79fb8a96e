package keep

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"slices"

	"bayhand/model/session"
	"bayhand/model/studio"
)

// meaning is a digest of all that a plan depends on. Labels, links, notes,
// settings and the patch kept in the session's file are no part of it.
func meaning(s *studio.Studio, wanted *session.Session) string {
	room := unlabelled(*s)
	asks := []any{room}
	if wanted != nil {
		wants := slices.Clone(wanted.Wants)
		for i := range wants {
			wants[i].Label, wants[i].Key = "", ""
		}
		asks = append(asks, wants, wanted.Silent, wanted.Cut, wanted.Loops, wanted.Inside)
	}
	text, err := json.Marshal(asks)
	if err != nil {
		// Levels that are not numbers do not print; the readers let none through.
		return ""
	}
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:])
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
