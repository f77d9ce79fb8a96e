package schedule

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"

	"bayhand/model/measure"
	"bayhand/model/name"
)

// The lists of a schedule, as a table names them.
const (
	signalList = "signal"
	loudList   = "loudspeaker"
)

// endColumns are those of each end.
var endColumns = []string{"point", "label", "plug", "gender", "socket", "hot", "cold", "shield"}

// columns are the names of a table's columns.
func columns() []string {
	all := []string{"list", "cable", "number", "kind", "length", "estimated", "pair", "core"}
	for _, side := range []string{"from ", "to "} {
		for _, c := range endColumns {
			all = append(all, side+c)
		}
	}
	return append(all, "cold", "shield", "because")
}

// WriteCSV writes a line a pair (RFC 4180, UTF-8), under a line of names. The cables
// are counted, so that those without a number are told apart. ReadCSV reads it back,
// and nothing is lost but what to buy and what is wrong.
func WriteCSV(w io.Writer, s Schedule) error {
	out := csv.NewWriter(w)
	out.UseCRLF = true
	if err := out.Write(columns()); err != nil {
		return err
	}
	count := 0
	for _, list := range []struct {
		name   string
		cables []Cable
	}{{signalList, s.Cables}, {loudList, s.Loudspeakers}} {
		for _, c := range list.cables {
			count++
			for _, p := range c.Pairs {
				if err := out.Write(row(list.name, count, c, p)); err != nil {
					return err
				}
			}
		}
	}
	out.Flush()
	return out.Error()
}

func row(list string, count int, c Cable, p Pair) []string {
	length, _ := c.Length.MarshalText() // it cannot fail
	all := []string{list, strconv.Itoa(count), c.Number, c.Kind, string(length), strconv.FormatBool(c.Estimated), strconv.Itoa(p.Pair), p.Core}
	for _, e := range []End{p.From, p.To} {
		all = append(all, e.Point.String(), e.Label, e.Plug, e.Gender, e.Socket, e.Hot, e.Cold, e.Shield)
	}
	return append(all, p.Cold, p.Shield, p.Because)
}

// ReadCSV reads what WriteCSV wrote, with or without the mark that some programs put
// before UTF-8. The error says the line.
func ReadCSV(r io.Reader) (Schedule, error) {
	in := csv.NewReader(r)
	head, err := in.Read()
	if err != nil {
		return Schedule{}, fmt.Errorf("the table has no line of names: %w", err)
	}
	head[0] = trimMark(head[0])
	if !slices.Equal(head, columns()) {
		return Schedule{}, errors.New("the columns of the table are not those of a cable schedule")
	}
	s := Schedule{Cables: []Cable{}, Loudspeakers: []Cable{}}
	before := ""
	for {
		cells, err := in.Read()
		if errors.Is(err, io.EOF) {
			return s, nil
		}
		if err != nil {
			return Schedule{}, err
		}
		line, _ := in.FieldPos(0)
		c, p, err := parse(cells)
		if err != nil {
			return Schedule{}, fmt.Errorf("line %d: %w", line, err)
		}
		list := &s.Cables
		if cells[0] == loudList {
			list = &s.Loudspeakers
		}
		if cells[1] != before {
			*list = append(*list, c)
			before = cells[1]
		}
		last := &(*list)[len(*list)-1]
		last.Pairs = append(last.Pairs, p)
	}
}

func trimMark(text string) string {
	const mark = "\ufeff"
	if len(text) >= len(mark) && text[:len(mark)] == mark {
		return text[len(mark):]
	}
	return text
}

func parse(cells []string) (c Cable, p Pair, err error) {
	if cells[0] != signalList && cells[0] != loudList {
		return c, p, fmt.Errorf("%q is no list; it is %s or %s", cells[0], signalList, loudList)
	}
	c = Cable{Number: cells[2], Kind: cells[3], Pairs: []Pair{}}
	if cells[4] != "" {
		if c.Length, err = measure.ParseLength(cells[4]); err != nil {
			return c, p, err
		}
	}
	if c.Estimated, err = strconv.ParseBool(cells[5]); err != nil {
		return c, p, fmt.Errorf("%q is neither true nor false", cells[5])
	}
	if p.Pair, err = strconv.Atoi(cells[6]); err != nil {
		return c, p, fmt.Errorf("%q is no number of a pair", cells[6])
	}
	p.Core = cells[7]
	for i, e := range []*End{&p.From, &p.To} {
		at := cells[8+i*len(endColumns):]
		point, err := name.Parse(at[0])
		if err != nil {
			return c, p, err
		}
		*e = End{Point: point, Label: at[1], Plug: at[2], Gender: at[3], Socket: at[4], Hot: at[5], Cold: at[6], Shield: at[7]}
	}
	rest := cells[8+2*len(endColumns):]
	p.Cold, p.Shield, p.Because = rest[0], rest[1], rest[2]
	return c, p, nil
}
