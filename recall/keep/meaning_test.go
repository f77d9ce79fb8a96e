package keep

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"testing"

	"bayhand/model/session"
	"bayhand/model/text"
)

// What a session means is the sum of a list of JSON, as memories of earlier versions have
// it: a session whose files did not change is not planned anew after an upgrade.
func TestMeaningIsTheSumOfAList(t *testing.T) {
	s, _, problems := text.ReadStudio("studio.yaml", []byte(`studio: S
gear: {a: {label: "<A & B>", outputs: {out1-2: pro-line}, inputs: {in1-2: pro-line}}}
bays: {main: {pairs: 4, modes: isolated}}
wiring: [a/out1-2 -> main/t1-2, main/b1-2 -> a/in1-2]
`))
	if problems.Errors() {
		t.Fatal(problems)
	}
	wanted, _, problems := text.ReadSession("w.yaml", []byte("session: W\nconnect: [vocal: a/out1 -> a/in2]\nsilent: [a/in1]\n"), s, nil)
	if problems.Errors() {
		t.Fatal(problems)
	}
	bare := []session.Want{wanted.Wants[0]}
	bare[0].Label, bare[0].Key = "", ""
	for _, c := range []struct {
		of   *session.Session
		list []any
	}{
		{nil, []any{unlabelled(*s)}},
		{wanted, []any{unlabelled(*s), bare, wanted.Silent, wanted.Cut, wanted.Loops, wanted.Inside}},
	} {
		list, err := json.Marshal(c.list)
		if err != nil {
			t.Fatal(err)
		}
		sum := sha256.Sum256(list)
		for range 2 {
			if got, want := newSite(s).meaning(c.of), hex.EncodeToString(sum[:]); got != want {
				t.Errorf("it means %s, want %s", got, want)
			}
		}
	}
}
