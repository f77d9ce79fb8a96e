package matrix

import (
	"bytes"
	"slices"

	"bayhand/drivers/message"
	"bayhand/model/device"
)

// recordSent notes a message that goes out.
func (t *conversation) recordSent(role device.Role, p []byte, crosspoints []message.Crosspoint) {
	t.tell(device.Turn{Role: role, Sent: true, Bytes: bytes.Clone(p), Says: pairs(crosspoints)})
}

// recordHeard notes an answer; of an answer about one output that is off, the
// output.
func (t *conversation) recordHeard(q *question, p []byte, meaning message.Meaning, says message.Says) {
	turn := device.Turn{Role: q.role, Bytes: bytes.Clone(p), Means: meaning.String(), Says: pairs(says.Crosspoints)}
	turn.Says = slices.DeleteFunc(turn.Says, func(pair [2]int) bool { return pair[1] == 0 })
	if len(turn.Says) == 0 && q.output > 0 {
		turn.Says = [][2]int{{q.output, 0}}
	}
	t.tell(turn)
}

func (t *conversation) tell(turn device.Turn) {
	if t.record != nil {
		t.record(turn)
	}
}

func pairs(crosspoints []message.Crosspoint) [][2]int {
	var all [][2]int
	for _, c := range crosspoints {
		all = append(all, [2]int{c.Output, c.Input})
	}
	return all
}
