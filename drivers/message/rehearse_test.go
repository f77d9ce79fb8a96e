package message_test

import (
	"strings"
	"testing"

	"bayhand/drivers/message"
	"bayhand/model/device"
)

// A transcript that differs in one byte, or in what it says, is found.
func TestRehearse(t *testing.T) {
	sent := func(bytes string, says ...[2]int) device.Turn {
		return device.Turn{Role: device.Close, Sent: true, Bytes: []byte(bytes), Says: says}
	}
	read := func(bytes string, says ...[2]int) device.Turn {
		return device.Turn{Role: device.Read, Bytes: []byte(bytes), Says: says}
	}
	tests := []struct {
		turn device.Turn
		want string // empty for agreement
	}{
		{sent("ROUT:CLOS (@1!2,3!4)\n", [2]int{1, 2}, [2]int{3, 4}), ""},
		{sent("ROUT:CLOS (@1!2, 3!4)\n", [2]int{1, 2}, [2]int{3, 4}), "was written"},
		{sent("ROUT:CLOS (@1!2)\n", [2]int{1, 3}), "out1 in3 is in the transcript, and the bytes are read as out1 in2"},
		{sent("ROUT:CLOSE (@1!2)\n", [2]int{1, 2}), "another message"},
		{read("#16(@1!2)\n", [2]int{1, 2}), ""},
		{read("#16(@1!2)\n"), "which the transcript does not"},
		{read("#16(@1!2)\n", [2]int{1, 2}, [2]int{1, 3}), "out1 in3 is in the transcript, and the bytes are read as out1 in2"},
		{read("#16(@1!9)\n", [2]int{1, 9}), "cannot be"},
		{read("#16(@1!2)", [2]int{1, 2}), "0 messages"},
		{read("#16(@1!2)\n1\n", [2]int{1, 2}), "2 messages"},
	}
	for _, test := range tests {
		d := scpi()
		d.Transcripts = []device.Transcript{{Title: "a trial", Inputs: 4, Outputs: 4, Turns: []device.Turn{test.turn}}}
		err := message.Rehearse(d)
		if (test.want == "") != (err == nil) || err != nil && !strings.Contains(err.Error(), test.want) {
			t.Errorf("%q: %v, want %q", test.turn.Bytes, err, test.want)
		}
	}
	// Which of the answers it is has to be said, since a word for busy is often one for
	// no as well.
	for means, want := range map[string]string{"busy": "", "": "is read as its busy, and the transcript has it as its answer", "refusal": "write < set busy"} {
		d := lines()
		d.Exchanges[0].Busy = []device.Field{lit("NO, BUSY\n")}
		d.Transcripts = []device.Transcript{{Title: "a trial", Inputs: 4, Outputs: 4, Turns: []device.Turn{{Role: device.Set, Means: means, Bytes: []byte("NO, BUSY\n")}}}}
		if err := message.Rehearse(d); (want == "") != (err == nil) || err != nil && !strings.Contains(err.Error(), want) {
			t.Errorf("busy as %q: %v, want %q", means, err, want)
		}
	}
	d := scpi()
	d.Transcripts = []device.Transcript{{Title: "no size"}}
	if err := message.Rehearse(d); err == nil || !strings.Contains(err.Error(), `transcript "no size"`) {
		t.Errorf("a transcript without a size: %v", err)
	}
}
