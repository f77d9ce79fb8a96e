package message

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"bayhand/model/device"
)

// A channel list is "(@" channels ")", with commas between. A channel of a
// matrix is row!column; two with a colon between are all channels of the
// rectangle that both span (SCPI-1999 vol. 1, 8.3.2).

func (w *writer) channels(f device.Field) error {
	if f.Over == device.Inputs {
		return w.channelRow()
	}
	if len(w.says.Crosspoints) == 0 && !w.answers {
		return errors.New("there is no crosspoint to send")
	}
	w.out.WriteString("(@")
	for i, c := range w.says.Crosspoints {
		if err := w.codec.exists(c); err != nil {
			return err
		}
		if c.Input == 0 {
			return fmt.Errorf("%w: output %d off is no channel", ErrValue, c.Output)
		}
		row, column := c.Output, c.Input
		if w.codec.rowsAreInputs() {
			row, column = column, row
		}
		if i > 0 {
			w.out.WriteByte(',')
		}
		fmt.Fprintf(&w.out, "%d!%d", row, column)
	}
	w.out.WriteByte(')')
	return nil
}

// channelRow lists every input of one output, as one range.
func (w *writer) channelRow() error {
	output, err := w.value("output", scope{})
	if err != nil {
		return err
	}
	if w.codec.rowsAreInputs() {
		fmt.Fprintf(&w.out, "(@1!%d:%d!%d)", output, w.codec.inputs, output)
		return nil
	}
	fmt.Fprintf(&w.out, "(@%d!1:%d!%d)", output, output, w.codec.inputs)
	return nil
}

// channels reads a list. The row-major order of a range makes no difference to
// which crosspoints it names, but keeps what is returned in one order.
func (r *reader) channels(f device.Field) error {
	if f.Over == device.Inputs {
		return channelRow(r)
	}
	end := strings.IndexByte(string(r.in[r.at:]), ')')
	if end < 0 || !strings.HasPrefix(string(r.in[r.at:]), "(@") {
		return r.other("found %s where a channel list is due", show(r.in[r.at:]))
	}
	body := string(r.in[r.at+2 : r.at+end])
	if strings.TrimSpace(body) != "" {
		for _, item := range strings.Split(body, ",") {
			if err := span(r, item); err != nil {
				return err
			}
		}
	}
	r.at += end + 1
	return nil
}

// channelRow reads back a list of every input of one output.
func channelRow(r *reader) error {
	before := len(r.says.Crosspoints)
	if err := r.channels(device.Field{}); err != nil {
		return err
	}
	row := r.says.Crosspoints[before:]
	for i, c := range row {
		if c != (Crosspoint{Output: row[0].Output, Input: i + 1}) {
			return r.other("the list is not of every input of one output")
		}
	}
	if len(row) != r.codec.inputs {
		return r.other("the list has %d channels of %d", len(row), r.codec.inputs)
	}
	r.says.Crosspoints = append(r.says.Crosspoints[:before], Crosspoint{Output: row[0].Output})
	return nil
}

func span(r *reader, item string) error {
	first, last, ranged := strings.Cut(item, ":")
	from, err := channel(r, first)
	if err != nil {
		return err
	}
	to := from
	if ranged {
		if to, err = channel(r, last); err != nil {
			return err
		}
	}
	a, b := rowColumn(r, from), rowColumn(r, to)
	for row := min(a[0], b[0]); row <= max(a[0], b[0]); row++ {
		for column := min(a[1], b[1]); column <= max(a[1], b[1]); column++ {
			r.says.Crosspoints = append(r.says.Crosspoints, r.crosspoint(row, column))
		}
	}
	// What a list can name is bounded by the matrix; more is a device gone mad.
	if len(r.says.Crosspoints) > 4*r.codec.inputs*r.codec.outputs {
		return fmt.Errorf("%w: the list names far more crosspoints than there are", ErrValue)
	}
	return nil
}

// channel reads row!column, and sees to it that the matrix has it.
func channel(r *reader, text string) (Crosspoint, error) {
	var numbers []int
	for _, part := range strings.Split(strings.TrimSpace(text), "!") {
		n, err := strconv.ParseUint(part, 10, 31)
		if err != nil {
			return Crosspoint{}, r.other("%q is no channel", text)
		}
		numbers = append(numbers, int(n))
	}
	if len(numbers) != 2 {
		return Crosspoint{}, fmt.Errorf("%w: the channel %s has %d numbers, and one of a matrix has two, row!column", ErrValue, text, len(numbers))
	}
	c := r.crosspoint(numbers[0], numbers[1])
	if c.Input == 0 {
		return Crosspoint{}, fmt.Errorf("%w: the channel %s; rows and columns count from 1", ErrValue, text)
	}
	if err := r.codec.exists(c); err != nil {
		return Crosspoint{}, fmt.Errorf("the channel %s: %w", text, err)
	}
	return c, nil
}

func (r *reader) crosspoint(row, column int) Crosspoint {
	if r.codec.rowsAreInputs() {
		return Crosspoint{Output: column, Input: row}
	}
	return Crosspoint{Output: row, Input: column}
}

func rowColumn(r *reader, c Crosspoint) [2]int {
	if r.codec.rowsAreInputs() {
		return [2]int{c.Input, c.Output}
	}
	return [2]int{c.Output, c.Input}
}
