package keep

import (
	"slices"

	"bayhand/model/studio"
)

// StillInside is what the software or desk may carry: until a person has said so, or a
// session was given, nobody has seen it changed over from those before. It is nil
// where no session is held nor was before.
func (in Intent) StillInside() []studio.Pass {
	passes := slices.Clone(in.PreviousInside)
	for _, wanted := range in.wanted() {
		passes = orEmpty(passes)
		for _, p := range wanted.Inside {
			if !slices.Contains(passes, p) {
				passes = append(passes, p)
			}
		}
	}
	return passes
}

// tagged is the studio with the jacks among its faulty ones that persons tagged.
func tagged(s *studio.Studio, tags []Tag) *studio.Studio {
	if len(tags) == 0 {
		return s
	}
	to := *s
	to.Faulty = slices.Clone(s.Faulty)
	for _, t := range tags {
		if !slices.Contains(to.Faulty, t.Jack) {
			to.Faulty = append(to.Faulty, t.Jack)
		}
	}
	return &to
}
