package message_test

import (
	"strings"
	"testing"

	"bayhand/drivers/message"
	"bayhand/model/device"
)

// What can never work is refused before anything is sent.
func TestAnswersThatCannotWork(t *testing.T) {
	for want, change := range map[string]func(*device.Exchange){
		"cannot be told apart": func(e *device.Exchange) { e.Refusal = e.Answer },
		"its busy and its wait cannot be told apart": func(e *device.Exchange) {
			e.Busy, e.Wait = []device.Field{lit("NOT NOW\n")}, []device.Field{lit("NOT NOW\n")}
		},
		"never ends as the frame says": func(e *device.Exchange) { e.Answer = []device.Field{lit("DONE")} },
		"and the rest is another message": func(e *device.Exchange) {
			e.Answer = []device.Field{lit("DONE\n"), {Kind: device.Number, Value: "code", Base: device.EightBit}, lit("\n")}
		},
	} {
		d := lines()
		for i := range d.Exchanges {
			if d.Exchanges[i].Role == device.Set {
				change(&d.Exchanges[i])
			}
		}
		if _, err := message.New(d, 4, 4, nil); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %q", err, want)
		}
	}
}

// What is narrow is tried before what is wide, whichever of them means no.
func TestTheNarrowBeforeTheWide(t *testing.T) {
	d := lines()
	for i := range d.Exchanges {
		if e := &d.Exchanges[i]; e.Role == device.Set {
			e.Answer, e.Refusal = []device.Field{lit("DONE\n")}, []device.Field{text("message"), lit("\n")}
			e.Busy = []device.Field{lit("LATER\n")}
		}
	}
	c := codec(t, d, 4, 4, nil)
	for p, want := range map[string]message.Meaning{"DONE\n": message.Answer, "LATER\n": message.Busy, "no such output\n": message.Refusal, "x": message.MeaningUnknown} {
		if _, got, _ := c.Judge(device.Set, 0, []byte(p)); got != want {
			t.Errorf("%q is %v, want %v", p, got, want)
		}
	}
}
