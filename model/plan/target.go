package plan

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/patch"
)

// Target is a patch in the form that plans print it in. A patch file in this
// form is read back by package text.
type Target patch.Patch

type cordJSON struct {
	Ends   []name.Point   `json:"ends"`
	Length measure.Length `json:"length,omitempty"`
	Poles  int            `json:"poles,omitempty"`
}

type patchJSON struct {
	Cords       []cordJSON                   `json:"cords"`
	Leads       []string                     `json:"leads"`
	Dummies     []name.Point                 `json:"dummies"`
	Crosspoints map[string]map[string]string `json:"crosspoints"`
}

// MarshalJSON writes the patch with lists that are never null. A relay matrix
// that has several inputs on one output is written with the inputs joined by a
// comma; no plan asks for it.
func (t Target) MarshalJSON() ([]byte, error) {
	j := patchJSON{
		Cords:       []cordJSON{},
		Leads:       []string{},
		Dummies:     slices.Clone(t.Dummies),
		Crosspoints: map[string]map[string]string{},
	}
	if j.Dummies == nil {
		j.Dummies = []name.Point{}
	}
	for _, c := range t.Cords {
		j.Cords = append(j.Cords, cordJSON{Ends: c.Ends(), Length: c.Length, Poles: c.Poles})
	}
	for _, l := range t.Leads {
		j.Leads = append(j.Leads, l.Port.String()+" - "+l.Jack.String())
	}
	for _, c := range t.Crosspoints {
		outputs := j.Crosspoints[c.Output.Owner]
		if outputs == nil {
			outputs = map[string]string{}
			j.Crosspoints[c.Output.Owner] = outputs
		}
		if had := outputs[c.Output.Port()]; had != "" {
			outputs[c.Output.Port()] = had + "," + c.Input.Port()
			continue
		}
		outputs[c.Output.Port()] = c.Input.Port()
	}
	return json.Marshal(j)
}

// UnmarshalJSON reads what MarshalJSON wrote.
func (t *Target) UnmarshalJSON(data []byte) error {
	var j patchJSON
	if err := json.Unmarshal(data, &j); err != nil {
		return err
	}
	read := Target{Dummies: j.Dummies}
	for _, c := range j.Cords {
		cord := patch.Cord{Length: c.Length, Poles: c.Poles}
		if len(c.Ends) < 1 || len(c.Ends) > 2 {
			return fmt.Errorf("a cord has one end or two, not %d", len(c.Ends))
		}
		cord.A = c.Ends[0]
		if len(c.Ends) == 2 {
			cord.B = c.Ends[1]
		}
		read.Cords = append(read.Cords, cord)
	}
	if err := read.readLeads(j.Leads); err != nil {
		return err
	}
	if err := read.readCrosspoints(j.Crosspoints); err != nil {
		return err
	}
	(*patch.Patch)(&read).Sort()
	*t = read
	return nil
}

func (t *Target) readLeads(leads []string) error {
	for _, text := range leads {
		port, jack, found := strings.Cut(text, " - ")
		if !found {
			return fmt.Errorf("%q is no gear cable; write port - jack", text)
		}
		p, err := name.Parse(port)
		if err != nil {
			return err
		}
		j, err := name.Parse(jack)
		if err != nil {
			return err
		}
		t.Leads = append(t.Leads, patch.Lead{Port: p, Jack: j})
	}
	return nil
}

func (t *Target) readCrosspoints(matrices map[string]map[string]string) error {
	for matrix, outputs := range matrices {
		for output, inputs := range outputs {
			o, err := name.Parse(matrix + "/" + output)
			if err != nil {
				return err
			}
			for _, input := range strings.Split(inputs, ",") {
				i, err := name.Parse(matrix + "/" + input)
				if err != nil {
					return err
				}
				t.Crosspoints = append(t.Crosspoints, patch.Crosspoint{Output: o, Input: i})
			}
		}
	}
	return nil
}
