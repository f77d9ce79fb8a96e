package gate

import (
	"slices"

	"bayhand/recall/border"
)

// takings are the lines that persons took away from the rooms of this host. One holds as long as
// what was plugged or planned there then still is: what comes later is plugged anew, and is
// claimed like anything else. After a start nobody knows what was there, and it is taken to be
// the same until the line was free of it.
type takings struct {
	own    func(room string) bool
	heeded map[string]border.Taking // those that do not hold any more, by line
}

// away is how a line was taken away last, where that holds.
func (t takings) away(table border.Table, line string) (border.Taking, bool) {
	last, taken := t.last(table, line)
	return last, taken && !same(last, t.heeded[line])
}

func (t takings) last(table border.Table, line string) (border.Taking, bool) {
	for _, one := range slices.Backward(table.Takings) {
		if string(one.Place) == line && t.own(one.From.Room) {
			return one, true
		}
	}
	return border.Taking{}, false
}

// same says whether two takings are one.
func same(a, b border.Taking) bool {
	return a.Place == b.Place && a.By == b.By && a.At.Equal(b.At) && a.From.Room == b.From.Room
}

// heed takes in which lines are plugged or planned here.
func (t takings) heed(table border.Table, need []string) {
	for _, one := range table.Takings {
		line := string(one.Place)
		if last, taken := t.last(table, line); taken && !slices.Contains(need, line) {
			t.heeded[line] = last
		}
	}
}
