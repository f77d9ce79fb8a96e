package text

import (
	"slices"

	"bayhand/model/patch"
	"bayhand/model/phrase"
)

// outdated are the codes of what a patch may have that was right when it was written, before
// the studio was changed: a place that is gone or is another thing now, a crosspoint that the
// matrix has no more, outputs that are switched together now.
var outdated = []string{"unknown-name", "direction", "missing-crosspoint", "count", "parted"}

// kept is the patch that gave the session last, written by bayhand. A session is none the
// worse where the studio has changed since: then there is one piece of advice, and
// no patch.
func (s *sessionReader) kept(n *node) *patch.Patch {
	had, more := len(s.problems), s.more
	p := readContent(s.reader, n, s.index)
	found := s.problems[had:]
	if len(found) == 0 || slices.ContainsFunc(found, func(q Problem) bool { return !slices.Contains(outdated, q.Code) }) {
		return &p
	}
	first := found[0]
	first.Code, first.Severity = "patch-stale", Advice // as check says of one that names what there is
	first.Message = phrase.Put("the patch that is kept no longer sets up the session: {reason}", "reason", first.Message)
	first.Hint = "nothing needs to be done; the next recall finds another and keeps that"
	s.problems, s.more = append(s.problems[:had], first), more
	return nil
}
