package check

import (
	"strings"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/text"
)

// Between two bays that are wired and that nothing tied joins, a cord owned has to go,
// and as far as half a row to the side. The distances are those of the example: rows of
// 24 quarter-inch jacks at 15.875 mm (5/8 in; common practice, no published source).
func TestBaysApart(t *testing.T) {
	for _, c := range []struct{ name, at, jack, stock, more, want string }{
		{"far apart", "{x: 2 m, y: 0 cm}", "quarter-inch", "60 cm: 9", "", "from up to low it takes 174 cm at the least, with the slack, the longest cord owned is 60 cm"},
		{"far apart and tied", "{x: 2 m, y: 0 cm}", "quarter-inch", "60 cm: 9", "ties: [up/b24 = low/t24]", ""},
		{"far apart and tied by way of a third bay", "{x: 2 m, y: 0 cm}", "quarter-inch", "60 cm: 9", "ties: [up/b24 = between/t1, between/t2 = low/t24]", ""},
		{"far apart, in different rooms", "{x: 2 m, y: 0 cm}", "quarter-inch", "60 cm: 9", "rooms: {one: [up], other: [low]}", ""},
		{"far apart, in rooms that stand together", "{x: 2 m, y: 0 cm}", "quarter-inch", "60 cm: 9", "rooms: {one: [up], other: [low]}\ntogether: [[one, other]]", "from up to low it takes 174 cm at the least, with the slack, the longest cord owned is 60 cm"},
		{"far apart, cords without end", "{x: 2 m, y: 0 cm}", "quarter-inch", "", "", ""},
		{"half a row is out of reach", "{x: 0 cm, y: 45 cm}", "quarter-inch", "60 cm: 9", "", "from up to low, half the row to the side, it takes 74 cm with the slack, and the longest cord owned is 60 cm"},
		{"near", "{x: 0 cm, y: 10 cm}", "quarter-inch", "60 cm: 9", "", ""},
		{"other plugs", "{x: 0 cm, y: 10 cm}", "bantam", "[{length: 60 cm, count: 4, ends: [quarter-inch, quarter-inch]}, {length: 60 cm, count: 4, ends: [bantam, bantam]}]", "",
			"no cord owned has a plug for up (quarter-inch) and one for low (bantam)"},
		{"adapters", "{x: 0 cm, y: 10 cm}", "bantam", "[{length: 60 cm, count: 4, ends: [quarter-inch, bantam]}, {length: 60 cm, count: 4, ends: [quarter-inch, quarter-inch]}, {length: 60 cm, count: 4, ends: [bantam, bantam]}]", "", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			src := `studio: S
gear: {tape: {outputs: {out1: pro-line}}, deck: {inputs: {in1: pro-line}}}
bays:
  up: {pairs: 24, jack: quarter-inch, modes: isolated, at: {x: 0 cm, y: 0 cm}}
  low: {pairs: 24, jack: ` + c.jack + `, modes: isolated, at: ` + c.at + `}
  between: {pairs: 2, modes: isolated, at: {x: 9 m, y: 0 cm}}
wiring: [tape/out1 -> up/t1, low/b8 -> deck/in1]
` + c.more + "\n"
			if c.stock != "" {
				stock := c.stock
				if !strings.HasPrefix(stock, "[") {
					stock = "{" + stock + "}"
				}
				src += "cords: {stock: " + stock + ", slack: 10 cm}\n"
			}
			s, places, problems := text.ReadStudio("studio.yaml", []byte(src))
			if problems.Errors() {
				t.Fatal(problems)
			}
			var said []string
			for _, f := range Studio(heard.NewRoom(s), places) {
				if strings.Contains(f.Message, "up") && strings.Contains(f.Message, "low") && f.Code == "cord-too-short" {
					said = append(said, f.Message)
				}
			}
			if c.want == "" && len(said) > 0 || c.want != "" && (len(said) != 1 || !strings.HasPrefix(said[0], c.want)) {
				t.Errorf("%q, want %q", said, c.want)
			}
		})
	}
}
