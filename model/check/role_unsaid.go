package check

import (
	"slices"
	"strings"
	"unicode"

	"bayhand/model/phrase"
	"bayhand/model/studio"
)

var roleUnsaid = rule{
	Rule: Rule{
		Code:     "role-unsaid",
		Severity: "advice",
		Title:    "gear that is called a loudspeaker or headphone has no role",
		Manual: `Only gear with role: loudspeaker or role: headphone is muted before anything in
its path moves, and kept out of the test sound. A file that calls gear speakers,
monitors or phones, and says no role, protects nobody. Gear with outputs, such as a
monitor controller, is not meant.`,
		Bad: Example{Studio: `studio: Only called so
gear:
  monitors: {inputs: {in1-2: pro-line}}
`},
		Good: Example{Studio: `studio: And said
gear:
  monitors: {inputs: {in1-2: pro-line}, role: loudspeaker, mute: {by: person, at: volume}}
  monitor-control: {inputs: {in1-2: pro-line}, outputs: {out1-2: pro-line}}
`},
	},
	studio: rolesUnsaid,
}

// audibleWords are what gear is called from which sound comes to ears, with the role that it
// then has (common practice, no published source).
var audibleWords = map[string]studio.Role{
	"speaker": studio.Loudspeaker, "speakers": studio.Loudspeaker, "loudspeaker": studio.Loudspeaker, "loudspeakers": studio.Loudspeaker,
	"monitor": studio.Loudspeaker, "monitors": studio.Loudspeaker, "nearfield": studio.Loudspeaker, "nearfields": studio.Loudspeaker,
	"subwoofer": studio.Loudspeaker, "subwoofers": studio.Loudspeaker, "sub": studio.Loudspeaker, "subs": studio.Loudspeaker,
	"wedge": studio.Loudspeaker, "wedges": studio.Loudspeaker,
	"earphone": studio.Headphone, "earphones": studio.Headphone, "headphone": studio.Headphone, "headphones": studio.Headphone, "phones": studio.Headphone,
}

func rolesUnsaid(v *view) []violation {
	var all []violation
	for _, g := range v.studio.Gear {
		if g.Role != studio.RoleUnsaid || slices.ContainsFunc(g.Ports, func(p studio.Port) bool { return p.Direction == studio.Output }) {
			continue
		}
		words := strings.FieldsFunc(strings.ToLower(g.Name+" "+g.Label), func(r rune) bool { return !unicode.IsLetter(r) })
		at := slices.IndexFunc(words, func(w string) bool { return audibleWords[w] != studio.RoleUnsaid })
		if at < 0 {
			continue
		}
		all = append(all, violation{
			key:     "gear." + g.Name,
			message: phrase.Put("{gear} is a {role} by its name, and has no role: nothing mutes it before its path moves", "gear", g.Name, "role", audibleWords[words[at]].String()),
			hint:    phrase.Put("write role: {role}, and mute: {by: person, at: the switch}", "role", audibleWords[words[at]].String()),
		})
	}
	return all
}
