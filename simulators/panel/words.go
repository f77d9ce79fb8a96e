package panel

import (
	"encoding/json"
	"fmt"
	"strings"

	"bayhand/model/phrase"
	"bayhand/simulators/matrix"
)

// Words are the lines that Type understands.
const Words = `show              say what is closed
json              say it as JSON, with kind and size
out3 in5          in 5 -> out 3, and nothing else
out3 off          nothing -> out 3
close out3:in5    close one crosspoint
open out3:in5     open one crosspoint
open all          open every crosspoint`

// Type does what a typed line says and gives the answer, one line.
func (p *Panel) Type(line string) string {
	words := strings.Fields(line)
	if len(words) == 1 && words[0] == "json" {
		return p.json()
	}
	if err := p.obey(words); err != nil {
		return err.Error()
	}
	return phrase.Put("closed: {crosspoints}", "crosspoints", p.closed())
}

func (p *Panel) obey(words []string) error {
	switch {
	case len(words) == 1 && words[0] == "show":
		return nil
	case len(words) != 2:
		return fmt.Errorf("not understood; the words are:\n%s", Words)
	case words[0] == "open" && words[1] == "all":
		return p.matrix.OpenAll(matrix.Front)
	case words[0] == "close":
		return p.one(words[1], p.matrix.Close)
	case words[0] == "open":
		return p.one(words[1], p.matrix.Open)
	case words[1] == "off":
		return p.set(words[0]+":in1", 0)
	}
	c, err := matrix.ParseCrosspoint(words[0] + ":" + words[1])
	if err != nil {
		return err
	}
	return p.set(c.String(), c.Input)
}

func (p *Panel) one(text string, do func(matrix.Hand, ...matrix.Crosspoint) error) error {
	c, err := matrix.ParseCrosspoint(text)
	if err != nil {
		return err
	}
	return do(matrix.Front, c)
}

// set lets the output of a crosspoint listen to an input.
func (p *Panel) set(text string, to matrix.Input) error {
	c, err := matrix.ParseCrosspoint(text)
	if err != nil {
		return err
	}
	c.Input = to
	return p.matrix.Set(matrix.Front, c)
}

// json is the state of the matrix, in one line.
func (p *Panel) json() string {
	state, err := json.Marshal(p.matrix)
	if err != nil {
		panic("panel: a state that has no JSON: " + err.Error())
	}
	return string(state)
}

// closed is every closed crosspoint in order, or none.
func (p *Panel) closed() string {
	var all []string
	for _, c := range p.matrix.State() {
		all = append(all, c.String())
	}
	if len(all) == 0 {
		return "none"
	}
	return strings.Join(all, " ")
}
