package schedule

import (
	"fmt"
	"strconv"

	"bayhand/model/name"
	"bayhand/model/studio"
	"bayhand/model/text"
)

// Numbering gives every cable that has none a number, from 0001 on, never one that is
// taken: a number once given is not changed. It returns the lines of the file to write
// anew: for each key of a line what stands there then.
func Numbering(s *studio.Studio) []text.Relaid {
	m := newMaker(s)
	taken := map[string]bool{}
	for _, l := range m.lines {
		taken[l.run.Cable] = true
	}
	numbers := map[[2]name.Point]string{}
	last := highest(taken)
	for _, c := range m.cables() {
		if c.Number != "" {
			continue
		}
		last++
		for _, p := range c.Pairs {
			numbers[[2]name.Point{p.From.Point, p.To.Point}] = fmt.Sprintf("%04d", last)
		}
	}
	return m.relaid(numbers)
}

// highest is the highest number that is taken.
func highest(taken map[string]bool) int {
	most := 0
	for text := range taken {
		if n, err := strconv.Atoi(text); err == nil {
			most = max(most, n)
		}
	}
	return most
}

// relaid are the lines whose cables got numbers, in the order of the file. A line is
// divided where its cables are: each part has one number.
func (m *maker) relaid(numbers map[[2]name.Point]string) []text.Relaid {
	var all []text.Relaid
	for i := 0; i < len(m.lines); {
		j := i
		for j < len(m.lines) && m.lines[j].key == m.lines[i].key {
			j++
		}
		if part := m.parts(m.lines[i:j], numbers); part != nil {
			all = append(all, text.Relaid{Key: m.lines[i].key, Parts: part})
		}
		i = j
	}
	return all
}

func (m *maker) parts(lines []line, numbers map[[2]name.Point]string) []text.RelaidPart {
	var parts []text.RelaidPart
	numbered := false
	for _, l := range lines {
		number := numbers[[2]name.Point{l.from, l.to}]
		numbered = numbered || number != ""
		if number == "" {
			number = l.run.Cable
		}
		last := len(parts) - 1
		if last >= 0 && parts[last].Number == number {
			parts[last].From = append(parts[last].From, l.from)
			parts[last].To = append(parts[last].To, l.to)
			continue
		}
		parts = append(parts, text.RelaidPart{From: []name.Point{l.from}, To: []name.Point{l.to}, Number: number})
	}
	if !numbered {
		return nil
	}
	return parts
}
