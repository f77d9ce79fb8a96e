package text

import (
	"maps"
	"path"
	"slices"
	"strings"

	"bayhand/model/session"
)

func (x *index) gearNames() []string { return slices.Sorted(maps.Keys(x.gear)) }

// programs reads {plate: 7}. The number is the one on the wire, unless the
// gear's panel counts from 1.
func (s *sessionReader) programs(n *node) {
	for _, e := range n.eachEntry() {
		g := s.gearNamed(e.key)
		switch {
		case g == nil:
			continue
		case g.MIDI == nil:
			s.fault(e.key, "no-midi", "give it midi: {port: ..., channel: ...} in the studio", "%s has no MIDI, so that no program of it can be recalled", g.Name)
			continue
		}
		first := g.MIDI.First
		if number, ok := s.numberOf(e.value, first, 127+first); ok {
			s.session.Programs = append(s.session.Programs, session.Program{Gear: g.Name, Number: number - first})
		}
	}
}

// settings reads {squeeze: {threshold: -12 dB}}.
func (s *sessionReader) settings(n *node) {
	if n == nil {
		return
	}
	if n.shape != mapping {
		s.fault(n, "shape", "write {squeeze: {threshold: -12 dB}}", "%s stands here; settings are a mapping of gear", n.shape)
		return
	}
	for _, e := range n.entries {
		if g := s.gearNamed(e.key); g != nil {
			s.session.Settings = append(s.session.Settings, session.Settings{Gear: g.Name, Values: s.knobs(e.value)})
		}
	}
}

func (s *sessionReader) knobs(n *node) []session.Setting {
	if n.shape != mapping {
		if !n.empty() {
			s.fault(n, "shape", "write {threshold: -12 dB}", "%s stands here; the settings of gear are a mapping", quoteText(n.text))
		}
		return nil
	}
	var knobs []session.Setting
	for _, e := range n.entries {
		if s.isText(e.value) {
			knobs = append(knobs, session.Setting{Name: e.key.text, Value: e.value.text})
		}
	}
	return knobs
}

// pictures reads {squeeze: pictures/squeeze.jpg}.
func (s *sessionReader) pictures(n *node) {
	for _, e := range n.eachEntry() {
		g := s.gearNamed(e.key)
		if !s.isText(e.value) || g == nil {
			continue
		}
		switch strings.ToLower(path.Ext(e.value.text)) {
		case ".png", ".jpg", ".jpeg":
			s.session.Pictures = append(s.session.Pictures, session.Picture{Gear: g.Name, File: e.value.text, Key: e.value.key})
		default:
			s.fault(e.value, "word", "write a file that ends in .png, .jpg or .jpeg", "%s stands here; a picture is a PNG or JPEG file", quoteText(e.value.text))
		}
	}
}
