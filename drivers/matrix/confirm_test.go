package matrix_test

import (
	"context"
	"errors"
	"strings"
	"testing"
	"testing/synctest"

	"bayhand/drivers/matrix"
	"bayhand/model/device"
	"bayhand/model/studio"
)

// repeating is a device that repeats what it has set.
func repeating() *device.Description {
	lit := func(text string) device.Field { return device.Field{Kind: device.Literal, Bytes: []byte(text)} }
	number := func(value string) device.Field {
		return device.Field{Kind: device.Number, Value: value, Base: device.Decimal}
	}
	return &device.Description{
		Name: "repeating", Switching: device.ByOutput,
		Frame:   device.Frame{Kind: device.Lines, End: []byte("\n"), Requests: []byte("\n")},
		Pacing:  device.Pacing{Timeout: 1000},
		Presets: []device.Preset{{Number: 3, Holds: [][2]int{{1, 2}, {2, 1}}}},
		Exchanges: []device.Exchange{
			{Role: device.Set, Batch: 1, Send: []device.Field{lit("S"), number("output"), lit(","), number("input"), lit("\n")},
				Answer: []device.Field{lit("S"), number("output"), lit("="), number("input"), lit("\n")}},
			{Role: device.Off, Batch: 1, Send: []device.Field{lit("X"), number("output"), lit("\n")},
				Answer: []device.Field{lit("X"), number("output"), lit("\n")}},
			{Role: device.Read, Send: []device.Field{lit("R\n")}, Answer: []device.Field{{Kind: device.Each, Over: device.Outputs, Separator: []byte(","), Of: []device.Field{number("input")}}, lit("\n")}},
			{Role: device.RecallPreset, Batch: 1, Send: []device.Field{lit("P"), number("preset"), lit("\n")}, Answer: []device.Field{lit("P"), number("preset"), lit("\n")}},
		},
	}
}

// An answer confirms the change that it names, and no other.
func TestAnswersConfirmWhatTheyName(t *testing.T) {
	for _, test := range []struct {
		sent, said, open, close string
		confirms                bool
	}{
		{"S1,2\n", "S1=2\n", "", "1-2", true},
		{"S1,2\n", "S1=1\n", "", "1-2", false}, // it is locked, and says what it has
		{"S1,2\n", "S2=2\n", "", "1-2", false}, // to somebody else
		{"S1,2\n", "S2=1\nS1=2\n", "", "1-2", true},
		{"X1\n", "X1\n", "1-2", "", true},
		{"X1\n", "X2\n", "1-2", "", false},
		{"P3\n", "P3\n", "", "1-2 2-1", true},
		{"P3\n", "P4\n", "", "1-2 2-1", false},
	} {
		t.Run(test.said, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				turns := []turn{say(test.sent, test.said)}
				if strings.HasPrefix(test.sent, "P") {
					turns = append([]turn{say("R\n", "0,0\n")}, turns...)
				}
				f := newFake(t, turns...)
				m := drive(t, repeating(), grid(2, 2, studio.Amplifiers), f)
				defer end(t, m)
				if len(turns) > 1 {
					wantRead(t, m, "")
				}
				err := m.Switch(context.Background(), points(test.open), points(test.close))
				if test.confirms != (err == nil) || err != nil && !errors.Is(err, matrix.ErrNoAnswer) {
					t.Errorf("%q answered %q: %v", test.sent, test.said, err)
				}
			})
		})
	}
}
