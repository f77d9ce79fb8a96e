package keep_test

import (
	"bytes"
	"encoding/json"
	"testing"

	"bayhand/recall/keep"
)

// written is the memory that was written last: a journal may keep parts of it as they were
// written, so that nothing of it is changed afterwards.
type written struct {
	memory keep.Memory
	text   []byte
}

func (w *written) follows(t testing.TB, next keep.Memory) {
	t.Helper()
	is, err := json.Marshal(w.memory)
	if err != nil || w.text != nil && !bytes.Equal(is, w.text) {
		t.Errorf("what was written was changed afterwards: it was\n%s, and is\n%s; %v", w.text, is, err)
	}
	w.memory = next
	w.text, _ = json.Marshal(next)
}
