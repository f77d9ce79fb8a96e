package message_test

import (
	"errors"
	"testing"
	"time"

	"bayhand/drivers/message"
	"bayhand/model/device"
)

// unit is a device with JSON answers that carry the text of a parameter.
func unit(answer ...device.Field) *device.Description {
	number := func(key, value string) device.Field {
		return device.Field{Kind: device.Number, Key: key, Value: value, Base: device.Decimal}
	}
	return &device.Description{
		Name: "unit", Switching: device.ByOutput,
		Frame:      device.Frame{Kind: device.Lines, End: []byte("\n"), Requests: []byte("\n")},
		Parameters: []device.Parameter{{Name: "unit", Choices: []string{"a", "ab"}, Default: "a"}},
		Exchanges: []device.Exchange{
			{Role: device.Set, Batch: 1, Send: []device.Field{{Kind: device.Object, Of: []device.Field{number("out", "output"), number("in", "input")}}, lit("\n")}},
			{Role: device.LabelOutput, Batch: 1, Send: []device.Field{{Kind: device.Object, Of: []device.Field{number("out", "output"), {Kind: device.Text, Key: "label", Value: "label"}}}, lit("\n")}},
			{Role: device.ReadOutput, Batch: 1, Send: []device.Field{{Kind: device.Object, Of: []device.Field{number("out", "output")}}, lit("\n")}, Answer: answer},
		},
	}
}

// The answer of device ab is none of device a.
func TestTextOfAParameterIsWhole(t *testing.T) {
	answer := device.Field{Kind: device.Object, Of: []device.Field{
		{Kind: device.Text, Key: "unit", Value: "unit"}, {Kind: device.Number, Key: "in", Value: "input", Base: device.Decimal}}}
	c := codec(t, unit(answer, lit("\n")), 4, 4, nil)
	for text, own := range map[string]bool{`{"unit":"a","in":2}`: true, `{"unit":"ab","in":2}`: false, `{"unit":"","in":2}`: false} {
		_, err := c.AnswerAbout(device.ReadOutput, 1, []byte(text+"\n"))
		if own != (err == nil) || err != nil && !errors.Is(err, message.ErrOther) {
			t.Errorf("%s: %v", text, err)
		}
	}
	sent := []byte(`{"out":1,"label":"Kick"}` + "\n")
	if says, err := c.Sent(device.LabelOutput, sent); err != nil || says.Label != "Kick" {
		t.Errorf("%s is read as %+v, %v", sent, says, err)
	}
}

// A round that takes no byte is the last: the list does not go on for ever.
func TestEmptyRoundsEnd(t *testing.T) {
	rounds := device.Field{Kind: device.Each, Over: device.Changes, Of: []device.Field{
		{Kind: device.Either, Choices: [][]device.Field{{lit("x")}, {}}}}}
	c := codec(t, unit(lit("="), rounds, lit(";"), device.Field{Kind: device.Number, Value: "input", Base: device.Decimal}, lit("\n")), 4, 4, nil)
	done := make(chan message.Says, 1)
	go func() {
		says, err := c.AnswerAbout(device.ReadOutput, 1, []byte("=xx;3\n"))
		if err != nil {
			t.Error(err)
		}
		done <- says
	}()
	select {
	case says := <-done:
		if len(says.Crosspoints) != 1 || says.Crosspoints[0] != (message.Crosspoint{Output: 1, Input: 3}) {
			t.Errorf("it is read as %v", says.Crosspoints)
		}
	case <-time.After(10 * time.Second):
		t.Fatal("it goes on for ever")
	}
}
