package route

import (
	"math/rand/v2"
	"testing"
)

// What comes out is never before what came out, however it went in, and all comes out.
func TestFrontierIsInOrder(t *testing.T) {
	lots := rand.New(rand.NewPCG(5, 6))
	for range 200 {
		var f frontier
		in, out, last := 0, 0, reaching{}
		for range 60 {
			if lots.IntN(3) > 0 {
				f.push(reaching{cost: last.cost + lots.IntN(4), node: last.node + lots.IntN(4)})
				in++
			} else if len(f) > 0 {
				next := f.pop()
				if next.before(last) {
					t.Fatalf("%v after %v", next, last)
				}
				last, out = next, out+1
			}
		}
		for ; len(f) > 0; out++ {
			next := f.pop()
			if next.before(last) {
				t.Fatalf("%v after %v", next, last)
			}
			last = next
		}
		if in != out {
			t.Fatalf("%d of %d came out", out, in)
		}
	}
}
