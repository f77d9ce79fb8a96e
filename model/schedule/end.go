package schedule

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

// Bare is an end without a plug.
const Bare = "bare"

// contacts of the legs of a circuit.
type contacts struct{ hot, cold, shield string }

// AES59 are the contacts of the eight circuits of a 25-way D-subminiature connector
// by AES59; contact 13 stays free. The plug on the cable is male.
var AES59 = [8][3]int{
	{24, 12, 25}, {10, 23, 11}, {21, 9, 22}, {7, 20, 8},
	{18, 6, 19}, {4, 17, 5}, {15, 3, 16}, {1, 14, 2},
}

// end is what a pair is joined to at a point.
func (m *maker) end(p name.Point, said string) End {
	e := End{Point: p, Label: m.label(p), Plug: strings.ToLower(said)}
	if c, held := m.held[p]; held {
		e.Socket = c.socket.Name
		if e.Plug == "" {
			e.Plug = strings.ToLower(c.socket.Plug)
		}
		if c.socket.Pins == "aes59" {
			e.Gender = "male"
			if c.number <= len(AES59) {
				at := AES59[c.number-1]
				e.Hot, e.Cold, e.Shield = strconv.Itoa(at[0]), strconv.Itoa(at[1]), strconv.Itoa(at[2])
			}
			return e
		}
	}
	if e.Plug == "" {
		e.Plug = m.plug(p)
	}
	var at contacts
	e.Gender, at = m.contacts(p, e.Plug)
	e.Hot, e.Cold, e.Shield = at.hot, at.cold, at.shield
	return e
}

// plug is the one on the cable that a point takes; empty where nothing was said.
func (m *maker) plug(p name.Point) string {
	if b, is := m.bays[p.Owner]; is {
		switch b.Rear {
		case studio.RearSolder, studio.RearPunch, studio.RearTerminal:
			return Bare
		case studio.RearXLR:
			return "xlr"
		case studio.RearDSub:
			return "d-sub-25"
		case studio.RearJack:
			return "trs"
		case studio.RearUnsaid:
		}
		return ""
	}
	if _, is := m.boxes[p.Owner]; is {
		return Bare
	}
	if m.oneJack(p) {
		return "trs"
	}
	return strings.ToLower(m.ports[p].Line.Plug)
}

// contacts are the gender of a plug and the contacts of the legs. XLR: 1 shield, 2
// hot, 3 cold; outputs are male and inputs female at the gear (AES14, IEC 61076-2-103,
// from memory), so that the cable has the other.
func (m *maker) contacts(p name.Point, plug string) (gender string, at contacts) {
	if m.oneJack(p) {
		return "male", m.insert(p)
	}
	balanced := m.balanced(p)
	cold := func(contact string) string {
		if !balanced {
			return ""
		}
		return contact
	}
	switch plug {
	case "xlr":
		gender = "female"
		if m.takes(p) {
			gender = "male"
		}
		return gender, contacts{"2", "3", "1"}
	case "trs", "bantam", "long-frame", "quarter-inch":
		return "male", contacts{"T", cold("R"), "S"}
	case "ts":
		return "male", contacts{"T", "", "S"}
	case "phono", "rca":
		return "male", contacts{"centre", "", "shell"}
	case Bare:
		return "", m.bare(p)
	}
	return "", contacts{}
}

// bare ends go to the tip, ring and sleeve of a jack, or to the contacts of a box.
func (m *maker) bare(p name.Point) contacts {
	if strings.EqualFold(m.boxes[p.Owner].Jack, "xlr") {
		return contacts{"2", "3", "1"}
	}
	return contacts{"T", "R", "S"}
}

// insert has its send on the tip and its return on the ring, or turned; the sleeve is
// common.
func (m *maker) insert(p name.Point) contacts {
	tip := m.gear[p.Owner].InsertTip
	if tip == name.Whole {
		tip = name.Send
	}
	if p.Part == tip {
		return contacts{"T", "", "S"}
	}
	return contacts{"R", "", "S"}
}

// takes says whether a signal goes into a point.
func (m *maker) takes(p name.Point) bool {
	if port, is := m.ports[p]; is {
		return port.Direction == studio.Input
	}
	if _, is := m.matrix[p.Owner]; is {
		return p.Stem == "in"
	}
	// The rear of a jack takes what comes from a source.
	_, driven := m.source[p]
	return driven
}

// balanced says whether both legs carry the signal at a point; jacks and matrices of
// which nothing is said do.
func (m *maker) balanced(p name.Point) bool {
	if port, is := m.ports[p]; is {
		return port.Line.Balanced && !m.oneJack(p)
	}
	return true
}

// label is what people read: the gear's label, and the port's own or its name.
func (m *maker) label(p name.Point) string {
	owner := p.Owner
	switch {
	case m.gear[p.Owner].Label != "":
		owner = m.gear[p.Owner].Label
	case m.bays[p.Owner].Label != "":
		owner = m.bays[p.Owner].Label
	case m.boxes[p.Owner].Label != "":
		owner = m.boxes[p.Owner].Label
	case m.matrix[p.Owner].Label != "":
		owner = m.matrix[p.Owner].Label
	}
	port := m.ports[p].Label
	if b, is := m.bays[p.Owner]; is {
		port = jack(b, p)
	}
	if port == "" {
		port = spoken(p)
	}
	return parted(strings.Join(strings.Fields(owner), " "), strings.Join(strings.Fields(port), " "))
}

// jack is one of a bay by its row, as printed there: a1, or 1 top.
func jack(b studio.Bay, p name.Point) string {
	row, word := 0, "top"
	if p.Stem == studio.Bottom {
		row, word = 1, "bottom"
	}
	if printed := b.Rows[row]; printed != "" {
		return printed + strconv.Itoa(p.Number)
	}
	return strconv.Itoa(p.Number) + " " + word
}

// parted joins an owner and a port. Two numbers do not run together: bay14 jack 1 top.
func parted(owner, port string) string {
	last, _ := utf8.DecodeLastRuneInString(owner)
	first, _ := utf8.DecodeRuneInString(port)
	if unicode.IsDigit(last) && unicode.IsDigit(first) {
		return phrase.Put("{bay} jack {number}", "bay", owner, "number", port)
	}
	return owner + " " + port
}

// spoken is a port as people say it: out 1, insert 2 send.
func spoken(p name.Point) string {
	text := strings.ReplaceAll(p.Stem, "-", " ")
	if p.Stem == "ins" && p.Part != name.Whole {
		text = "insert"
	}
	if p.Number > 0 {
		text += " " + strconv.Itoa(p.Number)
	}
	return text + strings.ReplaceAll(p.Part.String(), ".", " ")
}
