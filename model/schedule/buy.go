package schedule

import (
	"slices"
	"strings"

	"bayhand/model/measure"
	"bayhand/model/studio"
)

// Buy is what the cables are made of.
type Buy struct {
	Plugs []Plugs  `json:"plugs"`
	Cable []Metres `json:"cable"`
	// Joints are conductors to solder, press or screw; Wraps labels for ends.
	Joints int `json:"joints"`
	Wraps  int `json:"wraps"`
	// Unknown is how many cables have no known length, and how many ends no known plug.
	UnknownLengths int `json:"unknownLengths"`
	UnknownPlugs   int `json:"unknownPlugs"`
}

// Plugs are connectors of one kind.
type Plugs struct {
	Plug   string `json:"plug"`
	Gender string `json:"gender"`
	Count  int    `json:"count"`
}

// Metres are cable of one kind: the sum of its cuts and a tenth more.
type Metres struct {
	Kind   string         `json:"kind"`
	Length measure.Length `json:"length"`
	Cuts   int            `json:"cuts"`
}

// A tenth more is bought than is cut (common practice, no published source), in whole
// metres.
const more = 10

func (m *maker) buy(all []Cable) Buy {
	b := Buy{Plugs: []Plugs{}, Cable: []Metres{}}
	lengths := map[string]measure.Length{}
	cuts := map[string]int{}
	plugs := map[[2]string]int{}
	for _, c := range all {
		cuts[c.Kind]++
		lengths[c.Kind] += c.Length
		if c.Length == 0 {
			b.UnknownLengths++
		}
		b.Wraps += 2
		b.Joints += joints(c)
		m.count(c, plugs, &b)
	}
	for kind, length := range lengths {
		length += length / more
		b.Cable = append(b.Cable, Metres{kind, (length + measure.Metre - 1) / measure.Metre * measure.Metre, cuts[kind]})
	}
	for plug, count := range plugs {
		b.Plugs = append(b.Plugs, Plugs{plug[0], plug[1], count})
	}
	slices.SortFunc(b.Cable, func(x, y Metres) int { return strings.Compare(x.Kind, y.Kind) })
	slices.SortFunc(b.Plugs, func(x, y Plugs) int { return strings.Compare(x.Plug+" "+x.Gender, y.Plug+" "+y.Gender) })
	return b
}

// count adds the plugs of one cable: one for each socket and for each jack of an
// insert, and one for each other end.
func (m *maker) count(c Cable, plugs map[[2]string]int, b *Buy) {
	seen := map[string]bool{}
	for _, side := range [][]End{ends(c, false), ends(c, true)} {
		tails := 0
		for _, e := range side {
			key := e.Point.String()
			switch {
			case e.Socket != "":
				key = e.Point.Owner + " " + e.Socket
			case m.oneJack(e.Point):
				key = strings.TrimSuffix(strings.TrimSuffix(key, ".send"), ".return")
			}
			switch {
			case e.Plug == "":
				b.UnknownPlugs++
			case e.Plug == Bare:
			case !seen[key]:
				plugs[[2]string{e.Plug, e.Gender}]++
				tails++
			}
			seen[key] = true
		}
		if tails > 1 {
			b.Wraps += tails // each tail of a fan has one
		}
	}
}

func ends(c Cable, far bool) []End {
	var all []End
	for _, p := range c.Pairs {
		if far {
			all = append(all, p.To)
		} else {
			all = append(all, p.From)
		}
	}
	return all
}

// joints of a cable: each contact that is known at each end, less a cold leg that
// stays open and a shield that is lifted there.
func joints(c Cable) int {
	n := 0
	one := func(contact string, joined bool) {
		if contact != "" && joined {
			n++
		}
	}
	for _, p := range c.Pairs {
		one(p.From.Hot, true)
		one(p.To.Hot, true)
		one(p.From.Cold, p.Cold != studio.ColdOpen.String())
		one(p.To.Cold, p.Cold != studio.ColdOpen.String())
		one(p.From.Shield, p.Shield != studio.ShieldDestination.String())
		one(p.To.Shield, p.Shield != studio.ShieldSource.String())
	}
	return n
}
