package keep

import (
	"encoding/json"
	"fmt"
	"strings"

	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/patch"
)

// The JSON of what is known has the words of plans and patch files: ends,
// length, port, jack, matrix, output, input; off for no input.

type knownCordJSON struct {
	Ends   []name.Point   `json:"ends"`
	Length measure.Length `json:"length,omitempty"`
	Poles  int            `json:"poles,omitempty"`
	Number int            `json:"number,omitempty"`
	Fact
}

// MarshalJSON writes {"ends","length","poles","number","how","since"}.
func (k KnownCord) MarshalJSON() ([]byte, error) {
	return json.Marshal(knownCordJSON{Ends: k.Ends(), Length: k.Length, Poles: k.Poles, Number: k.Number, Fact: k.Fact})
}

// UnmarshalJSON reads what MarshalJSON wrote.
func (k *KnownCord) UnmarshalJSON(data []byte) error {
	var j knownCordJSON
	if err := json.Unmarshal(data, &j); err != nil {
		return err
	}
	if len(j.Ends) < 1 || len(j.Ends) > 2 {
		return fmt.Errorf("a cord has one end or two, not %d", len(j.Ends))
	}
	cord := patch.Cord{A: j.Ends[0], Length: j.Length, Poles: j.Poles}
	if len(j.Ends) == 2 {
		cord.B = j.Ends[1]
	}
	*k = KnownCord{Cord: cord, Fact: j.Fact, Number: j.Number}
	return nil
}

type knownLeadJSON struct {
	Port name.Point `json:"port"`
	Jack name.Point `json:"jack"`
	Fact
}

// MarshalJSON writes {"port","jack","how","since"}.
func (k KnownLead) MarshalJSON() ([]byte, error) {
	return json.Marshal(knownLeadJSON{k.Port, k.Jack, k.Fact})
}

// UnmarshalJSON reads what MarshalJSON wrote.
func (k *KnownLead) UnmarshalJSON(data []byte) error {
	var j knownLeadJSON
	if err := json.Unmarshal(data, &j); err != nil {
		return err
	}
	*k = KnownLead{Lead: patch.Lead{Port: j.Port, Jack: j.Jack}, Fact: j.Fact}
	return nil
}

type knownDummyJSON struct {
	Jack name.Point `json:"jack"`
	Fact
}

// MarshalJSON writes {"jack","how","since"}.
func (k KnownDummy) MarshalJSON() ([]byte, error) {
	return json.Marshal(knownDummyJSON(k))
}

// UnmarshalJSON reads what MarshalJSON wrote.
func (k *KnownDummy) UnmarshalJSON(data []byte) error {
	return json.Unmarshal(data, (*knownDummyJSON)(k))
}

type knownCrosspointJSON struct {
	Matrix string `json:"matrix"`
	Output string `json:"output"`
	Input  string `json:"input"`
	Fact
}

// MarshalJSON writes {"matrix","output","input","how","since"}.
func (k KnownCrosspoint) MarshalJSON() ([]byte, error) {
	j := knownCrosspointJSON{Matrix: k.Output.Owner, Output: k.Output.Port(), Input: "off", Fact: k.Fact}
	if !k.Input.IsZero() {
		j.Input = k.Input.Port()
	}
	return json.Marshal(j)
}

// UnmarshalJSON reads what MarshalJSON wrote.
func (k *KnownCrosspoint) UnmarshalJSON(data []byte) error {
	var j knownCrosspointJSON
	if err := json.Unmarshal(data, &j); err != nil {
		return err
	}
	output, err := name.Parse(j.Matrix + "/" + j.Output)
	if err != nil {
		return err
	}
	read := KnownCrosspoint{Output: output, Fact: j.Fact}
	if j.Input != "off" && strings.TrimSpace(j.Input) != "" {
		if read.Input, err = name.Parse(j.Matrix + "/" + j.Input); err != nil {
			return err
		}
	}
	*k = read
	return nil
}

type knownJSON struct {
	Cords       []KnownCord       `json:"cords"`
	Leads       []KnownLead       `json:"leads"`
	Dummies     []KnownDummy      `json:"dummies"`
	Crosspoints []KnownCrosspoint `json:"crosspoints"`
}

// MarshalJSON writes lists that are never null.
func (k Known) MarshalJSON() ([]byte, error) {
	return json.Marshal(knownJSON{orEmpty(k.Cords), orEmpty(k.Leads), orEmpty(k.Dummies), orEmpty(k.Crosspoints)})
}

// MarshalJSON writes lists that are never null, whoever put the status together.
func (s Status) MarshalJSON() ([]byte, error) {
	type bare Status
	return json.Marshal(bare(s.clone()))
}

func orEmpty[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}
