package panel

import (
	"fmt"
	"strings"

	"bayhand/simulators/matrix"
)

// help stands at the foot of the panel.
const help = "arrows move   space turns   o opens all   q leaves"

const (
	// fixedLines are the title, the inputs' numbers, a blank line, the note and the
	// help.
	fixedLines = 5
	// leastHeard is how many lines of the line's traffic stay in view.
	leastHeard = 3
)

// Draw is the panel as lines of text, at most height of them and width
// characters long. Of a matrix that does not fit it shows the part around the
// cursor.
func (p *Panel) Draw(width, height int) []string {
	p.mu.Lock()
	defer p.mu.Unlock()
	outputs, inputs := p.matrix.Size()
	cell := len(fmt.Sprint(inputs)) + 2
	label := len(matrix.Output(outputs).String()) + 1
	rows := window(int(p.cursor.Output), outputs, max(height-fixedLines-leastHeard, 1))
	columns := window(int(p.cursor.Input), inputs, max((width-label)/cell, 1))

	lines := []string{p.title, strings.Repeat(" ", label) + numbers(columns, cell)}
	for _, row := range rows {
		lines = append(lines, p.row(matrix.Output(row), columns, cell, label))
	}
	lines = append(lines, "")
	lines = append(lines, p.lastHeard(max(height-len(lines)-2, 0))...)
	lines = append(lines, p.note, help)
	for i, line := range lines {
		lines[i] = cut(line, width)
	}
	return lines[max(len(lines)-max(height, 1), 0):]
}

// window is the numbers from 1 to count that are shown when only so many fit
// around a place.
func window(at, count, fit int) []int {
	fit = min(fit, count)
	first := min(max(at-fit/2, 1), count-fit+1)
	shown := make([]int, fit)
	for i := range shown {
		shown[i] = first + i
	}
	return shown
}

func numbers(columns []int, cell int) string {
	var line strings.Builder
	for _, n := range columns {
		fmt.Fprintf(&line, "%*d ", cell-1, n)
	}
	return strings.TrimRight(line.String(), " ")
}

// row is one output: X for a closed crosspoint, a dot for an open one, brackets
// around the one under the cursor. The caller holds mu.
func (p *Panel) row(o matrix.Output, columns []int, cell, label int) string {
	var line strings.Builder
	fmt.Fprintf(&line, "%-*s", label, o)
	for _, column := range columns {
		c := matrix.Crosspoint{Output: o, Input: matrix.Input(column)}
		mark := "."
		if p.matrix.Closed(c) {
			mark = "X"
		}
		if c == p.cursor {
			mark = "[" + mark + "]"
		} else {
			mark += " "
		}
		fmt.Fprintf(&line, "%*s", cell, mark)
	}
	return strings.TrimRight(line.String(), " ")
}

func (p *Panel) lastHeard(count int) []string {
	var lines []string
	for _, q := range p.heard[max(len(p.heard)-count, 0):] {
		lines = append(lines, q.String())
	}
	return lines
}

func cut(line string, width int) string {
	letters := []rune(line)
	return string(letters[:min(len(letters), max(width, 1))])
}
