package arrange

import (
	"fmt"
	"slices"
	"strings"

	"bayhand/model/name"
)

// Run is columns side by side that go on in both rows and are so for one reason.
type Run struct {
	Bay      string
	From, To int
	// Top and Bottom are the ports in the words of a file, such as desk/out1-8; "-"
	// for blanks.
	Top, Bottom   string
	Mode, Because string
}

// Pairs are the numbers of the columns, such as 1-8.
func (r Run) Pairs() string { return numbered(r.From, r.To) }

func numbered(from, to int) string {
	if from == to {
		return fmt.Sprint(from)
	}
	return fmt.Sprintf("%d-%d", from, to)
}

// Runs joins columns that a person reads as one.
func Runs(all []Column) []Run {
	var runs []Run
	for from := 0; from < len(all); {
		to := from + 1
		for to < len(all) && goesOn(all[to-1], all[to]) {
			to++
		}
		first, last := all[from], all[to-1]
		runs = append(runs, Run{first.Bay, first.Pair, last.Pair, portsText(first.Top, last.Top), portsText(first.Bottom, last.Bottom), first.Mode, first.Because})
		from = to
	}
	return runs
}

// goesOn says whether a column is the next of those that are so for one reason.
func goesOn(a, b Column) bool {
	next := func(p, q name.Point) bool {
		if p.IsZero() {
			return q.IsZero()
		}
		return follows(p, q)
	}
	return a.Bay == b.Bay && b.Pair == a.Pair+1 && a.Because == b.Because && a.Mode == b.Mode && next(a.Top, b.Top) && next(a.Bottom, b.Bottom)
}

// portsText is a run of ports in a file's words.
func portsText(first, last name.Point) string {
	if first.IsZero() {
		return "-"
	}
	text, number := first.String(), fmt.Sprint(first.Number)
	at := strings.LastIndex(text, number)
	if first == last || at < 0 {
		return text
	}
	return text[:at] + numbered(first.Number, last.Number) + text[at+len(number):]
}

// turned says whether a port stands in the row of the others.
func (l *Layout) turned(p name.Point) bool {
	is := func(q port) bool { return q.turned && q.point == p }
	return slices.ContainsFunc(l.columns.room.outputs, is) || slices.ContainsFunc(l.columns.room.inputs, is)
}

// Wiring are the lines of wiring that the layout takes, as a file has them.
func (l *Layout) Wiring() []string {
	var lines []string
	all := l.Columns()
	rows := []struct {
		stem string
		port func(Column) name.Point
	}{{"t", func(c Column) name.Point { return c.Top }}, {"b", func(c Column) name.Point { return c.Bottom }}}
	for _, row := range rows {
		for from := 0; from < len(all); {
			first, to := row.port(all[from]), from+1
			for to < len(all) && all[to].Bay == all[from].Bay && all[to].Pair == all[to-1].Pair+1 && follows(row.port(all[to-1]), row.port(all[to])) {
				to++
			}
			ports := portsText(first, row.port(all[to-1]))
			jacks := all[from].Bay + "/" + row.stem + numbered(all[from].Pair, all[to-1].Pair)
			switch {
			case first.IsZero():
			case (row.stem == "t") != l.turned(first):
				lines = append(lines, ports+" -> "+jacks)
			default:
				lines = append(lines, jacks+" -> "+ports)
			}
			from = to
		}
	}
	return append(lines, StraightLines(l.Straight())...)
}

// StraightLines are cables that come to no bay as lines of wiring.
func StraightLines(all []Straight) []string {
	var lines []string
	for from := 0; from < len(all); {
		to := from + 1
		for to < len(all) && follows(all[to-1].From, all[to].From) && follows(all[to-1].To, all[to].To) {
			to++
		}
		lines = append(lines, portsText(all[from].From, all[to-1].From)+" -> "+portsText(all[from].To, all[to-1].To))
		from = to
	}
	return lines
}
