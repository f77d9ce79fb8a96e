package message_test

import (
	"strconv"
	"strings"
	"testing"

	"bayhand/drivers/message"
	"bayhand/model/device"
)

func decimal(n int) string { return strconv.Itoa(n) }

func TestNewRefuses(t *testing.T) {
	tests := []struct {
		name       string
		change     func(*device.Description)
		inputs     int
		parameters map[string]string
		want       string
	}{
		{"a parameter that is none", nil, 4, map[string]string{"row": "inputs"}, "scpi has no parameter row; it has rows"},
		{"a word that is no choice", nil, 4, map[string]string{"rows": "sideways"}, `"sideways" is none of outputs, inputs`},
		{"a fixed size", func(d *device.Description) { d.Inputs = 8 }, 4, nil, "scpi has 8 inputs, not 4"},
		{"a bound size", func(d *device.Description) { d.MaxInputs = 3 }, 4, nil, "at most 3 inputs"},
		{"no size", nil, 0, nil, "at least one of its inputs"},
		{"no framing", func(d *device.Description) { d.Frame = device.Frame{} }, 4, nil, "framed"},
		{"no end of lines", func(d *device.Description) { d.Frame.End = nil }, 4, nil, "no end"},
		{"no switching", func(d *device.Description) { d.Switching = 0 }, 4, nil, "by-crosspoint or by-output"},
		{"no message open", func(d *device.Description) { d.Exchanges = d.Exchanges[:2] }, 4, nil, "no message open"},
		{"a number of nothing", addField(dec("nothing")), 4, nil, `"nothing" is neither`},
		{"a number without base", addField(device.Field{Kind: device.Number, Value: "output"}), 4, nil, "no base"},
		{"an unknown field", addField(device.Field{}), 4, nil, "not known"},
		{"a literal of nothing", addField(lit("")), 4, nil, "no bytes"},
		{"text in what is sent", addField(text("identity")), 4, nil, "not text that can stand here"},
		{"every output in what is sent", addField(device.Field{Kind: device.Each, Over: device.Outputs, Of: []device.Field{dec("input")}}), 4, nil, "changes only"},
		{"each within each", addField(device.Field{Kind: device.Each, Over: device.Changes, Of: []device.Field{{Kind: device.Each}}}), 4, nil, "inside each"},
		{"each of nothing", addField(device.Field{Kind: device.Each, Over: device.Changes}), 4, nil, "repeats nothing"},
		{"errors without a code", func(d *device.Description) { d.Exchanges[5].Answer = []device.Field{text("message")} }, 4, nil, "needs a number that is the code"},
		{"a block after text", func(d *device.Description) {
			d.Exchanges[3].Answer = []device.Field{text("message"), {Kind: device.Block, Of: []device.Field{list}}}
		}, 4, nil, "a block comes first"},
	}
	for _, test := range tests {
		d := scpi()
		if test.change != nil {
			test.change(d)
		}
		_, err := message.New(d, test.inputs, 4, test.parameters)
		if err == nil || !strings.Contains(err.Error(), test.want) {
			t.Errorf("%s: %v, want it to say %q", test.name, err, test.want)
		}
	}
	for _, unit := range []string{"127", "-1", "x"} {
		if _, err := message.New(exclusive(), 4, 4, map[string]string{"unit": unit}); err == nil || !strings.Contains(err.Error(), "0 to 126") {
			t.Errorf("unit %s: %v", unit, err)
		}
	}
}

func addField(f device.Field) func(*device.Description) {
	return func(d *device.Description) {
		d.Exchanges[1].Send = append(d.Exchanges[1].Send, f)
	}
}
