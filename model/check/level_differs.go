package check

import (
	"slices"

	"bayhand/model/level"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

var levelDiffers = rule{
	Rule: Rule{
		Code:     "level-differs",
		Severity: "advice",
		Title:    "professional and consumer line level meet",
		Manual: `Line level is +4 dBu in professional gear and -10 dBV in consumer gear, 11.8 dB
apart. Into a consumer input professional level is too hot and clips early; the
other way round it is quiet and noisy. Said where the working levels of a source and
a destination differ by 6 dB or more, with what arrives as ` + "`bayhand levels`" + ` has it:
after what the load takes, and a cold leg that is grounded. Set the gear for it, put a
level box between, or describe the port with the level that it is really set to. Where
the professional side is balanced and the consumer one is not, such a box with a
transformer also keeps the cold leg off ground, which otherwise costs 6.02 dB more in
an output that does not float.`,
		Bad: Example{Studio: `studio: Professional into consumer
gear:
  desk: {outputs: {mix1: pro-line}}
  cassette: {inputs: {in1: home-line}}
bays:
  main: {pairs: 1, modes: half-normal}
wiring:
  - desk/mix1 -> main/t1
  - main/b1 -> cassette/in1
`},
		Good: Example{Studio: `studio: Professional into professional
gear:
  desk: {outputs: {mix1: pro-line}}
  recorder: {inputs: {in1: pro-line}}
bays:
  main: {pairs: 1, modes: half-normal}
wiring:
  - desk/mix1 -> main/t1
  - main/b1 -> recorder/in1
`},
	},
	studio:  func(v *view) []violation { return levelsDiffer(v.arriveAtRest()) },
	session: func(v *sessionView) []violation { return levelsDiffer(v.arriveAnyhow()) },
}

const levelApart = 6 // dB: common practice, no published source

// arriveAnyhow are the arrivals that a session asks for and that are not there at rest,
// those by way of amplifiers as well.
func (v *sessionView) arriveAnyhow() []arrival {
	all := slices.Clone(v.arriveAsked())
	for _, m := range v.fresh() {
		if !v.metal(m) {
			all = append(all, arrival{level.Amplified(m.source, m.destination), m.key})
		}
	}
	return all
}

// levelsDiffer says whether professional and consumer level meet: the working levels
// are apart, and so is what arrives, at one end at the least of what is known. Where
// nothing to speak of arrives another rule speaks.
func (a arrival) levelsDiffer() bool {
	if a.Source.Line.Kind != studio.LineLevel || a.Destination.Line.Kind != studio.LineLevel || a.Loss.Low >= -nothing {
		return false
	}
	switch nominal := a.nominal(); {
	case nominal >= levelApart:
		return tenths(a.Over.High) >= levelApart
	case nominal <= -levelApart:
		return tenths(a.Over.Low) <= -levelApart
	}
	return false
}

// nominal is by how many decibels the source works above the destination, to a tenth.
func (a arrival) nominal() float64 {
	return tenths(float64(a.Source.Line.Level - a.Destination.Line.Level))
}

func levelsDiffer(all []arrival) []violation {
	var apart []meeting
	var amounts []string
	for _, a := range each(all, arrival.levelsDiffer) {
		apart = append(apart, meeting{a.Source, a.Destination, a.key})
		amounts = append(amounts, amount(a.Over)+" "+a.sense())
	}
	var out []violation
	for _, g := range grouped(apart, amounts) {
		remedy := "turn it down there, or put a level box between"
		if g.over() < 0 {
			remedy = "make up for it at the destination, or put a level box between"
		}
		out = append(out, violation{
			key: g.key,
			message: phrase.Count(len(g.sources), "{sources} ({level}) is {amount} the working level of {destinations} ({other})",
				"{sources} ({level}) are {amount} the working level of {destinations} ({other})", "sources", folded(g.sources), "level", worksAt(g.source.Line),
				"amount", g.words, "destinations", folded(g.destinations), "other", worksAt(g.destination.Line)),
			hint: phrase.Put("{remedy}; where a switch sets the port to another level, write it with the port, such as level: +4 dBu, and what is to stay so under accept:", "remedy", remedy),
		})
	}
	return out
}

// sense is whether the source is above or below the destination.
func (a arrival) sense() string {
	if a.nominal() > 0 {
		return "above"
	}
	return "below"
}

// worksAt is a line's name, or its level where it has none.
func worksAt(l studio.Line) string { return orElse(l.Name, l.Level.String()) }
