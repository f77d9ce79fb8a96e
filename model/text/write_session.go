package text

import (
	"strconv"
	"strings"

	"bayhand/model/session"
	"bayhand/model/studio"
)

// Option says more about how a session is written.
type Option func(*sessionWriter)

// InStudio lets a session be written with the hops of its studio: squeeze/1 for
// a channel, plate for gear with one input. It is needed as well for programs of
// gear whose panel counts from 1.
func InStudio(s *studio.Studio) Option {
	return func(w *sessionWriter) { w.studio = s }
}

// Remarks are lines of comment at the head of the file.
func Remarks(lines ...string) Option {
	return func(w *sessionWriter) { w.remarks = append(w.remarks, lines...) }
}

type sessionWriter struct {
	writer
	studio  *studio.Studio
	index   *index
	remarks []string
}

// WriteSession is a session as a file: wants that follow each other stand in
// chains, neighbours in ranges. What the session has from the one that it is
// like is written out, and like is left out.
func WriteSession(s session.Session, options ...Option) []byte {
	w := &sessionWriter{studio: &studio.Studio{}}
	for _, option := range options {
		option(w)
	}
	w.index = indexWith(w.studio, s.Guests)
	for _, line := range w.remarks {
		w.line(0, strings.TrimRight("# "+strings.ReplaceAll(line, "\n", " "), " "))
	}
	w.pair(0, "session", s.Title)
	if s.Program >= 0 {
		w.line(0, "program: "+strconv.Itoa(s.Program))
		if s.Bank > 0 {
			w.line(0, "bank: "+strconv.Itoa(s.Bank))
		}
	}
	if s.Weight > 0 {
		w.line(0, "weight: "+strconv.Itoa(s.Weight))
	}
	w.guests(s.Guests)
	w.substitutes(s.Substitutes)
	w.selections(s.Selections)
	w.wants("connect", s.Wants, false)
	w.wants("keep", s.Wants, true)
	w.list(0, "silent", folded(s.Silent))
	w.list(0, "cut", s.Cut)
	var loops []string
	for _, p := range s.Loops {
		loops = append(loops, loopWord+p.String())
	}
	w.list(0, "allow", loops)
	w.list(0, "inside", foldPasses(s.Inside))
	w.programs(s.Programs)
	w.settings(s.Settings)
	w.pictures(s.Pictures)
	w.notes(s.Notes)
	if s.Patch != nil {
		writePatch(&w.writer, *s.Patch)
	}
	return w.Bytes()
}

func (w *sessionWriter) programs(programs []session.Program) {
	var items []string
	for _, p := range programs {
		items = append(items, p.Gear+": "+strconv.Itoa(w.index.gear[p.Gear].PanelNumber(p.Number)))
	}
	if len(items) > 0 {
		w.line(0, "programs: {"+strings.Join(items, ", ")+"}")
	}
}

func (w *sessionWriter) settings(settings []session.Settings) {
	if len(settings) > 0 {
		w.line(0, "settings:")
	}
	for _, s := range settings {
		items := make([]string, len(s.Values))
		for i, knob := range s.Values {
			items[i] = scalarText(knob.Name) + ": " + scalarText(knob.Value)
		}
		w.line(1, s.Gear+": {"+strings.Join(items, ", ")+"}")
	}
}

// notes stand as lines of their own where nothing in them could be lost.
func (w *sessionWriter) notes(notes string) {
	if notes == "" {
		return
	}
	lines := strings.Split(notes, "\n")
	if len(lines) == 1 || !blockSafe(lines) {
		w.pair(0, "notes", notes)
		return
	}
	w.line(0, "notes: |-")
	for _, line := range lines {
		w.line(1, line)
	}
}

func blockSafe(lines []string) bool {
	for _, line := range lines {
		if line == "" || line != strings.TrimSpace(line) {
			return false
		}
		for _, r := range line {
			if illegal(r, 2) != "" || r == '\r' || r == '\t' {
				return false
			}
		}
	}
	return true
}

func (w *sessionWriter) pictures(pictures []session.Picture) {
	if len(pictures) > 0 {
		w.line(0, "pictures:")
	}
	for _, p := range pictures {
		w.pair(1, p.Gear, p.File)
	}
}
