package matrix_test

import (
	"testing"
	"testing/synctest"
	"time"

	"bayhand/model/device"
	"bayhand/model/studio"
)

// counting is a device whose answer to settle is a number, as its answers about
// outputs are.
func counting() *device.Description {
	lit := func(text string) device.Field { return device.Field{Kind: device.Literal, Bytes: []byte(text)} }
	number := func(value string) device.Field {
		return device.Field{Kind: device.Number, Value: value, Base: device.Decimal}
	}
	return &device.Description{
		Name: "counting", Switching: device.ByOutput,
		Frame:  device.Frame{Kind: device.Lines, End: []byte("\n"), Requests: []byte("\n")},
		Pacing: device.Pacing{Timeout: 1000, Retries: 1},
		Exchanges: []device.Exchange{
			{Role: device.Set, Batch: 1, Send: []device.Field{lit("S"), number("output"), lit(","), number("input"), lit("\n")}},
			{Role: device.ReadOutput, Send: []device.Field{lit("R"), number("output"), lit("\n")}, Answer: []device.Field{number("input"), lit("\n")}},
			{Role: device.Settle, Send: []device.Field{lit("E\n")}, Answer: []device.Field{number("code"), lit("\n")}},
		},
	}
}

// An answer to settle that may be taken for a reading marks no place: a late reading
// would be taken for the mark, and the mark for the reading after it.
func TestSettleThatLooksLikeAReadingMarksNothing(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		f := newFake(t,
			turn{want: "R1\n", after: 1500 * time.Millisecond, say: []string{"2\n"}},
			say("R1\n", "2\n"), say("R2\n", "1\n"), // of two times, and read once more
			say("R1\n", "2\n"), say("R2\n", "1\n"))
		m := drive(t, counting(), grid(2, 2, studio.Amplifiers), f)
		defer end(t, m)
		wantRead(t, m, "1-2 2-1")
	})
}
