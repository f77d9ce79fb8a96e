package paper

import (
	"io"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/plan"
	"bayhand/model/schedule"
	"bayhand/model/session"
	"bayhand/model/strip"
	"bayhand/model/studio"
	"bayhand/simulators/rooms"
)

// BenchmarkFacility makes each paper of a house of 40 bays of 48 pairs, 16 matrices of
// 64 by 64 and 6,000 ports, with hearing it once beside to compare.
func BenchmarkFacility(b *testing.B) {
	s := readStudio(b, rooms.Facility(40))
	room := heard.NewRoom(s)
	for _, work := range []struct {
		name string
		make func() error
	}{
		{"hear", func() error { room.Hear(s.Rest); return nil }},
		{"labels", func() error { return facilityLabels(s) }},
		{"wall", func() error { _, err := WallPDF(io.Discard, Wall{Room: room}, A4); return err }},
		{"form", func() error { _, err := BlankPDF(io.Discard, Wall{Room: room}, A4); return err }},
		{"wiring", func() error {
			all := schedule.Of(s)
			_, err := WiringPDF(io.Discard, Wiring{Groups: Grouped(s, all), Buy: all.Buy, BuyToo: true}, A4)
			return err
		}},
		{"sheet", func() error {
			r := FromOccasion(Occasion{Room: room, Session: &session.Session{}, Plan: &plan.Plan{Target: plan.Target(s.Rest)}, From: s.Rest})
			_, err := RecallPDF(io.Discard, r, A4)
			return err
		}},
	} {
		b.Run(work.name, func(b *testing.B) {
			for b.Loop() {
				if err := work.make(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func facilityLabels(s *studio.Studio) error {
	l := Labels{Studio: s.Name, Title: "Label strips"}
	ruler, err := StripRuler()
	if err != nil {
		return err
	}
	for _, bay := range s.Bays {
		l.Strips = append(l.Strips, strip.Of(s, bay, strip.Options{Paper: StripRoom(A4), Ruler: ruler})...)
	}
	_, err = LabelsPDF(io.Discard, l, A4)
	return err
}
