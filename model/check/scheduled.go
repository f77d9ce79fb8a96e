package check

import (
	"bayhand/model/schedule"
	"bayhand/model/strip"
	"bayhand/model/studio"
)

// scheduled finds what the cable schedule says under a code.
func scheduled(code string) func(*view) []found {
	return func(v *view) []found {
		if v.cabled == nil {
			made := schedule.Of(v.studio)
			v.cabled = &made
		}
		var all []found
		for _, p := range v.cabled.Problems {
			if p.Code == code {
				all = append(all, found{key: p.Key, message: p.Message, hint: p.Hint})
			}
		}
		return all
	}
}

// onStrips finds texts on the strips of bays whose file says how high those are.
func onStrips(wanted func(strip.Text) bool) func(*view) []found {
	return func(v *view) []found {
		var all []found
		for _, b := range v.studio.Bays {
			if b.Strips == (studio.Strips{}) {
				continue
			}
			for _, r := range strip.Remarks(strip.Of(v.studio, b, strip.Options{})) {
				if wanted(r.Text) {
					all = append(all, found{key: "bays." + b.Name + ".strips", message: r.String(), hint: orElse(r.Hint, "give one of them another label, or a short form of its own")})
				}
			}
		}
		return all
	}
}
