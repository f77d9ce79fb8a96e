package text

import (
	"bayhand/model/name"
	"bayhand/model/studio"
)

var acceptFields = Table{Name: "an acceptance", Fields: []Field{
	{Key: "finding", Kind: Text, Form: "level-differs", Required: true, Help: "the code of the finding, in brackets behind it"},
	{Key: "at", Kind: Text, Form: "squeeze/in1-2", Help: "the points or the thing that it names, as it names them; without it wherever it is found"},
	{Key: "because", Kind: Text, Form: `"switched at the rear, 2031-05-04"`, Required: true, Help: "why it is left as it is: what was looked at, by whom and when"},
}}

// accept reads the findings that somebody has looked at. Whether there is such a
// finding is not known here.
func (r *studioReader) accept(n *node) {
	for _, item := range n.all() {
		v := r.fields(item, acceptFields)
		a := studio.Acceptance{Finding: v.text("finding"), Because: v.text("because"), Key: item.key}
		if at := v.of["at"]; at != nil {
			a.At = r.acceptedAt(at)
		}
		r.studio.Accepted = append(r.studio.Accepted, a)
	}
}

// acceptedAt are the points that an acceptance names, or gear, a bay or a matrix as
// a point without a port.
func (r *studioReader) acceptedAt(n *node) []name.Point {
	if !r.isText(n) {
		return nil
	}
	if r.index.has(n.text) {
		return []name.Point{{Owner: n.text}}
	}
	hop, ok := r.hop(n)
	if !ok {
		return nil
	}
	found, _ := r.refer(n, r.index, hop, "a finding names ports, jacks or things of the studio", gearInput, gearOutput, jack, socket, matrixInput, matrixOutput)
	return found
}
