// Package houses makes up studios in the sizes that there are, from a room at
// home to a facility, each with a session that can be given and the patch that
// it is to be given from.
//
// Vocabulary: a size is how many pairs the bays have, and with them how large
// everything else is; a house is one studio with its files; its answer is a patch
// that gives its session, which nobody who plans is shown. A column is a stack of
// bays, as far from the next as only the longest cords reach.
//
// A house is made backwards: a hand draws cords, crosspoints and dummies into the
// studio, with what is owned and what reaches, and the session asks for what is
// heard then. So every session can be given, by nets of package heard; package
// contacts, which shares no code with those, is asked in the tests.
package houses

import (
	"fmt"
	"math/rand/v2"

	"bayhand/model/heard"
	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/model/text"
)

// House is a studio with what is asked for and what is in, as files.
type House struct {
	Studio, Session, Present []byte
	// Answer is a patch that gives the session. It holds nothing that is not owned.
	Answer []byte
	// Line is the session with one line changed, and LineAnswer a patch that gives
	// that; both are nil where no other line was found.
	Line, LineAnswer []byte
}

// Draw makes the house of a size and a seed: the same on every machine. It takes
// time quadratic in what the session asks for: milliseconds at home, some seconds
// for a facility.
func Draw(size Size, seed uint64) House {
	for try := uint64(0); ; try++ {
		if h, ok := draw(size, seed, try); ok {
			return h
		}
	}
}

// draw fails where the rest patch has outputs joined or a loop.
func draw(size Size, seed, try uint64) (House, bool) {
	r := rand.New(rand.NewPCG(seed, 0x686f757365+try<<40))
	b := newBuilder(size, fmt.Sprintf("House %d of %d pairs", seed, size.Pairs), dice{r})
	b.build()
	s := b.read()
	room := heard.NewRoom(s)
	if at := room.Hear(s.Rest); at.Contended() || len(at.Loops(nil, nil)) > 0 {
		return House{}, false
	}
	e := newEvening(room, size, dice{r}, far(size, seed))
	e.draw()
	b.own(e, seed%4 == 1)
	return e.house(b), true
}

// far says whether the session is far from what is in. At home most are; nobody
// pulls a whole facility for one session, but now and then.
func far(size Size, seed uint64) bool {
	if size.Pairs < 100 {
		return seed%4 != 0
	}
	return seed%4 == 0
}

// read is the studio as it is so far.
func (b *builder) read() *studio.Studio {
	s, _, problems := text.ReadStudio("studio.yaml", b.file())
	if problems.Errors() {
		panic(fmt.Sprintf("a house was written that cannot be read: %v", problems))
	}
	return s
}

func (e *evening) house(b *builder) House {
	s := b.read()
	h := House{
		Studio:  b.file(),
		Session: text.WriteSession(*e.session, text.InStudio(s)),
		Present: text.WritePatch(e.present),
		Answer:  text.WritePatch(e.answer),
	}
	if e.line != nil {
		h.Line, h.LineAnswer = text.WriteSession(*e.line, text.InStudio(s)), text.WritePatch(e.lineAnswer)
	}
	return h
}

// Read gives the values that the files of a house hold.
func (h House) Read() (s *studio.Studio, asked *session.Session, present, answer patch.Patch) {
	s, _, problems := text.ReadStudio("studio.yaml", h.Studio)
	asked, _, more := text.ReadSession("session.yaml", h.Session, s, nil)
	problems = append(problems, more...)
	present, _, more = text.ReadPatch("present.yaml", h.Present, s)
	problems = append(problems, more...)
	answer, _, more = text.ReadPatch("answer.yaml", h.Answer, s)
	if problems = append(problems, more...); problems.Errors() {
		panic(fmt.Sprintf("a house was written that cannot be read: %v", problems))
	}
	return s, asked, present, answer
}

// dice are a seeded source of choices.
type dice struct{ *rand.Rand }

// often is true that many times in a hundred.
func (d dice) often(percent int) bool { return d.IntN(100) < percent }

// between draws from the least to the most, both among them.
func (d dice) between(least, most int) int { return least + d.IntN(max(1, most-least+1)) }

// some is a copy of a list in a drawn order.
func some[T any](d dice, list []T) []T {
	mixed := append([]T{}, list...)
	d.Shuffle(len(mixed), func(i, j int) { mixed[i], mixed[j] = mixed[j], mixed[i] })
	return mixed
}

// one is an element of a list that is not empty.
func one[T any](d dice, list []T) T { return list[d.IntN(len(list))] }
