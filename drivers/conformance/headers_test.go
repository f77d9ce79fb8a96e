package conformance_test

import (
	"bytes"
	"testing"
	"testing/synctest"

	simulated "bayhand/simulators/matrix"
)

// A header may be sent in its long form or in its short one (SCPI-1999 vol. 1,
// 6.2.1): the description that ships has the short ones, and one with the long ones
// does as much.
func TestHeadersInBothForms(t *testing.T) {
	long := []string{"ROUT:CLOS:STAT?", "ROUTe:CLOSe:STATe?", "ROUT:CLOS", "ROUTe:CLOSe", "ROUT:OPEN", "ROUTe:OPEN", "SYST:ERR?", "SYSTem:ERRor:NEXT?"}
	for _, d := range shipped(t) {
		if d.Name != "scpi-switch" && d.Name != "scpi-switch-rows" {
			continue
		}
		t.Run(d.Name, func(t *testing.T) {
			replaced := 0
			for i, e := range d.Exchanges {
				for j := range e.Send {
					for k := 0; k < len(long); k += 2 {
						if before := e.Send[j].Bytes; bytes.HasPrefix(before, []byte(long[k])) {
							d.Exchanges[i].Send[j].Bytes = append([]byte(long[k+1]), before[len(long[k]):]...)
							replaced++
							break
						}
					}
				}
			}
			if replaced < 4 {
				t.Fatalf("only %d headers were made long", replaced)
			}
			synctest.Test(t, func(t *testing.T) {
				r := newRig(t, d, 4, 4, simulated.Faults{})
				m, unplug := r.plug(newCable(9600, false, nil))
				defer unplug()
				for _, target := range patches(r) {
					verified(t, r, m, target)
				}
			})
		})
	}
}
