package text

import (
	"cmp"

	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/studio"
)

// ReadStudio reads a studio file. The studio is complete and its names are
// resolved if no problem is an error; otherwise it holds what could be read and
// is not to be used for more than that.
func ReadStudio(file string, src []byte) (*studio.Studio, Places, Problems) {
	r, root := open(file, src)
	s := &studio.Studio{Dummies: -1, Stock: studio.Stock{Unlimited: true, Slack: studio.DefaultSlack}}
	if root != nil {
		sr := newStudioReader(r, s)
		r.attempt(func() { sr.file(root) })
	}
	return s, r.places, r.told()
}

func newStudioReader(r *reader, s *studio.Studio) *studioReader {
	sr := &studioReader{reader: r, studio: s, owners: map[string]*node{}, broken: map[string]bool{}}
	sr.lines = &lineReader{reader: r, file: sr}
	sr.cables = &cableReader{reader: r, file: sr}
	return sr
}

// studioReader reads gear, bays and matrices first, and what names them after. Each kind
// of thing has a reader of its own; this one holds what they have in common.
type studioReader struct {
	*reader
	studio *studio.Studio
	index  *index
	lines  *lineReader
	cables *cableReader
	// owners are the names taken, each with the key that took it.
	owners map[string]*node
	// broken are those whose description has mistakes.
	broken map[string]bool
	// mutes by a matrix, and the places of leads, wait until all names are known.
	mutes []muteBy
	ats   []hangsAt
}

func (r *studioReader) file(root *node) {
	v := r.fields(root, studioFields)
	s := r.studio
	s.Name = v.text("studio")
	r.lines.kinds(v.of["lines"])
	r.cables.kinds(v.of["cables"])
	s.Reference = r.reference(v.of["reference"])
	r.readRacks(v.of["racks"])
	r.readGear(v.of["gear"])
	(&bayReader{r.reader, r}).read(v.of["bays"])
	r.readBoxes(v.of["boxes"])
	(&matrixReader{r.reader, r}).read(v.of["matrices"])
	r.index = newIndex(s)
	r.index.broken = r.broken
	r.resolveMutes()
	r.resolveAts()
	(&wiringReader{r.reader, s, r.index, r.cables}).read(v)
	(&cordReader{r.reader, &s.Stock, r.cables}).read(v.of["cords"])
	s.Dummies = v.number("dummies", -1)
	r.index.wires = s.Wires
	s.Rest = readContent(r.reader, v.of["rest"], r.index)
	(&roomReader{r.reader, s, r.index}).read(v)
	(&lineToReader{r.reader, r}).read(v.of["lines-to"])
	r.readControl(v.of["control"])
	r.accept(v.of["accept"])
	s.Verify = r.verify(v.of["verify"])
	switch v.word("drift") {
	case "restore":
		s.Drift = studio.Restore
	case "keep":
		s.Drift = studio.Keep
	}
}

// records calls read for each entry of a mapping of names.
func (r *studioReader) records(n *node, read func(key, value *node)) {
	if n == nil {
		return
	}
	for _, e := range n.entries {
		if err, wrong := name.CheckOwner(e.key.text).(*name.Error); wrong {
			legal := cmp.Or(asOwner(e.key.text), asPort(e.key.text))
			r.misnamed(e.key, err, legal)
			r.broken[legal] = true // lines that name it so are right
			continue
		}
		before := r.mistakes()
		read(e.key, e.value)
		r.broken[e.key.text] = r.broken[e.key.text] || r.mistakes() > before
	}
}

// own takes a name for gear, a bay, a box or a matrix; they share one set of names.
func (r *studioReader) own(key *node) bool {
	if first := r.owners[key.text]; first != nil {
		r.fault(key, "duplicate", "give one of them another name", "the name %s is taken in line %d; gear, bays, boxes and matrices share one set of names", key.text, first.place.Line)
		return false
	}
	if r.index != nil && r.index.has(key.text) {
		r.fault(key, "duplicate", "give the guest another name", "the name %s is taken in the studio", key.text)
		return false
	}
	r.owners[key.text] = key
	return true
}

func (r *studioReader) readRacks(n *node) {
	r.records(n, func(key, value *node) {
		v := r.fields(value, rackFields)
		x := measured(v, "x", measure.ParseLength, 0)
		r.studio.Racks = append(r.studio.Racks, studio.Rack{Name: key.text, X: x})
	})
}
