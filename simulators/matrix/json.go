package matrix

import "encoding/json"

// MarshalJSON writes the present state in the words that patches have:
//
//	{"kind": "contacts", "inputs": 16, "outputs": 16,
//	 "closed": [{"output": "out3", "input": "in5"}]}
func (m *Matrix) MarshalJSON() ([]byte, error) {
	type crosspoint struct {
		Output string `json:"output"`
		Input  string `json:"input"`
	}
	closed := []crosspoint{}
	for _, c := range m.State() {
		closed = append(closed, crosspoint{c.Output.String(), c.Input.String()})
	}
	return json.Marshal(struct {
		Kind    string       `json:"kind"`
		Inputs  int          `json:"inputs"`
		Outputs int          `json:"outputs"`
		Muted   bool         `json:"muted,omitempty"`
		Closed  []crosspoint `json:"closed"`
	}{m.kind.String(), m.inputs, m.outputs, m.Muted(), closed})
}
