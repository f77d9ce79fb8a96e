package text

import (
	"path"
	"strings"

	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// Opener finds the session that another is like, by its name or by a path that
// ends in .yaml, and gives its file and bytes.
type Opener = func(name string) (file string, src []byte, err error)

// ReadSession reads a session file of a studio. What the session named in like
// has is opened with open and put beneath; keys of wants that come from there
// begin with "like.". The session is complete if no problem is an error.
func ReadSession(file string, src []byte, s *studio.Studio, open Opener) (*session.Session, Places, Problems) {
	f := &family{studio: s, open: open}
	r := f.read(file, src, nil, head{})
	r.attempt(r.conflicts)
	return r.session, r.places, r.told()
}

// sessionName is the name of the session in a file: the file's without .yaml.
func sessionName(file string) string {
	base := path.Base(strings.ReplaceAll(file, `\`, "/"))
	return strings.TrimSuffix(base, ".yaml")
}

// family reads a session and those that it is like.
type family struct {
	studio *studio.Studio
	open   Opener
}

// sessionReader reads one session file.
type sessionReader struct {
	*reader
	index   *index
	session *session.Session
	head    head
	// wanted holds where each destination is asked for or kept silent.
	wanted map[name.Point]*node
	chains int
	// given are the keys that the file has.
	given map[string]bool
}

// read reads a file; before are the files that led here by like, and over is
// what they say that changes how the lines here are read.
func (f *family) read(file string, src []byte, before []string, over head) *sessionReader {
	r, root := open(file, src)
	s := &sessionReader{reader: r, index: newIndex(f.studio), wanted: map[name.Point]*node{}, given: map[string]bool{},
		session: &session.Session{Name: sessionName(file), Program: -1}}
	if root == nil {
		return s
	}
	r.attempt(func() { f.file(s, root, file, before, over) })
	return s
}

func (f *family) file(s *sessionReader, root *node, file string, before []string, over head) {
	v := s.fields(root, sessionFields)
	for key := range v.of {
		s.given[key] = true
	}
	own := head{guests: s.guests(v.of["guests"], f.studio), away: s.substitutes(v.of["substitute"])}
	var base *sessionReader
	if like := v.of["like"]; like != nil {
		s.session.Like = like.text
		base = f.beneath(s, like, append(before, file), own.under(over))
	}
	s.begin(f.studio, own, base, over, v)
	s.fill(v)
	if base != nil {
		s.merge(base.session)
	}
}

func (s *sessionReader) fill(v values) {
	to := s.session
	to.Title = v.text("session")
	to.Program, to.Bank = v.number("program", -1), v.number("bank", 0)
	to.Weight = v.number("weight", 0)
	if n := v.of["bank"]; n != nil && v.of["program"] == nil {
		s.fault(n, "missing", "add program: and its number", "a bank without a program recalls nothing")
	}
	s.selections(v.of["select"])
	s.connect(v.of["connect"], false)
	s.connect(v.of["keep"], true)
	s.silent(v.of["silent"])
	s.cut(v.of["cut"])
	s.allow(v.of["allow"])
	for _, item := range s.wholeItems(v.of["inside"]) {
		s.inside(item)
	}
	s.programs(v.of["programs"])
	s.settings(v.of["settings"])
	s.pictures(v.of["pictures"])
	to.Notes = v.text("notes")
	if n := v.of["patch"]; n != nil {
		to.Patch = s.kept(n)
	}
}

func (s *sessionReader) silent(n *node) {
	for _, item := range s.wholeItems(n) {
		hop, ok := s.hop(item)
		if !ok {
			continue
		}
		if hop, ok = s.stand(item, hop); !ok {
			continue
		}
		points, _ := s.refer(item, s.index, hop, "what must be silent is a destination", gearInput)
		for _, p := range points {
			if first := s.wanted[p]; first != nil {
				s.fault(item, "duplicate", "take one of them out", "%s is to be silent and is named in line %d already", p, first.place.Line)
				continue
			}
			s.wanted[p] = item
			s.session.Silent = append(s.session.Silent, p)
		}
	}
}

func (s *sessionReader) cut(n *node) {
	seen := map[string]bool{}
	for _, item := range s.wholeItems(n) {
		g := s.gearNamed(item)
		if g == nil {
			continue
		}
		g = s.index.gear[s.standIn(g.Name)]
		if seen[g.Name] {
			s.fault(item, "duplicate", "", "%s stands twice", g.Name)
			continue
		}
		seen[g.Name] = true
		if g.Role == studio.RoleUnsaid {
			s.fault(item, "role", "give it role: loudspeaker in the studio, or ask for silence at its inputs", "%s is no loudspeaker or headphone; only those are cut", g.Name)
			continue
		}
		s.session.Cut = append(s.session.Cut, g.Name)
	}
}

// gearNamed is the gear that a scalar names; nil after a problem.
func (s *sessionReader) gearNamed(n *node) *studio.Gear {
	if !s.isText(n) {
		return nil
	}
	g := s.index.gear[n.text]
	if g == nil {
		owner, _, _ := strings.Cut(n.text, "/")
		hint := maybe(n.text, s.index.gearNames())
		if s.index.gear[owner] != nil {
			hint = phrase.Put("write {name}", "name", owner)
		}
		s.fault(n, "unknown-name", hint, "no gear is called %s", quoteText(n.text))
	}
	return g
}

const loopWord = "loop "

// allow reads loop bus/mix1.
func (s *sessionReader) allow(n *node) {
	for _, item := range s.wholeItems(n) {
		if !s.isText(item) {
			continue
		}
		rest, ok := strings.CutPrefix(item.text, loopWord)
		if !ok {
			s.fault(item, "word", "write loop bus/mix1", "%s stands here; what can be allowed is a loop, by a port that it goes through", quoteText(item.text))
			continue
		}
		text := strings.TrimLeft(rest, " ")
		at := len(item.text) - len(text)
		points, err := name.List(text)
		if e, ok := err.(*name.Error); ok {
			s.faultIn(item, at+e.At, "name", "", "%s", e.Message)
			continue
		}
		hop, ok := s.stand(item, name.Hop{At: at, Text: text, Points: points})
		if !ok {
			continue
		}
		found, _ := s.refer(item, s.index, hop, "a loop goes through ports of gear", gearOutput, gearInput)
		s.session.Loops = append(s.session.Loops, found...)
	}
}

// inside reads what the software or desk carries: interface/in1 -> interface/out3.
func (s *sessionReader) inside(n *node) {
	p, ok := s.pair(n, name.Into, name.All)
	if !ok {
		return
	}
	left, ok := s.stand(n, p.Left)
	right, ok2 := s.stand(n, p.Right)
	if ok && ok2 {
		p.Left, p.Right = left, right
		s.session.Inside = append(s.session.Inside, s.expandPass(n, p, s.index)...)
	}
}
