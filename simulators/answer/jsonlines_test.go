package answer

import (
	"testing"

	"bayhand/model/device"
	"bayhand/model/text"
	"bayhand/simulators/matrix"
)

func TestJSONLines(t *testing.T) {
	d, _, problems := text.ReadDevice("test.yaml", []byte(`
device: json
links: [serial]
size: given
switching: by-output
frame: {lines: "\n"}
messages:
  set:
    batch: 4
    send: [{json: {ask: route, id: {number: packet}, to: {each: changes, of: [{json: {out: {number: output}, in: {number: input, off: null}}}]}}}, "\n"]
    answer: [{json: {id: {number: packet}, ok: true}}, "\n"]
    refusal: [{json: {id: {number: packet}, ok: false}}, "\n"]
  read:
    send: [{json: {ask: routes, id: {number: packet}}}, "\n"]
    answer: [{json: {id: {number: packet}, routes: {each: outputs, of: [{number: input, off: null}]}}}, "\n"]
`))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	dev, m := simulated(t, d, 4, 3, nil, matrix.Faults{})
	for _, talk := range [][2]string{
		{`{ "to": [{"in":4,"out":3}, {"out":1,"in":2}], "ask":"route", "more":{}, "id":7 }`, `{"id":7,"ok":true}`},
		{`{"ask":"routes","id":8}`, `{"id":8,"routes":[2,null,4]}`},
		{`{"ask":"route","id":9,"to":[{"out":1,"in":null}]}`, `{"id":9,"ok":true}`},
		{`{"ask":"route","id":9,"to":[{"out":4,"in":1}]}`, `{"id":9,"ok":false}`},
		{`{"ask":"routes"}`, ``},
	} {
		var got string
		for _, answer := range dev.Receive([]byte(talk[0] + "\n")) {
			got += string(answer)
		}
		if want := talk[1]; want != "" && got != want+"\n" || want == "" && got != "" {
			t.Errorf("%s brings %q", talk[0], got)
		}
	}
	if !m.Closed(matrix.Crosspoint{Output: 3, Input: 4}) || d.Frame.Kind != device.Lines {
		t.Errorf("it holds %v", m.State())
	}
}
