package reading_test

import (
	"fmt"
	"math"
	"math/bits"
	"slices"
	"testing"
)

// Codes that others would play in place of tones: binary sequences, as bits.

// maximal is one period, 2^n-1 bits, of the recurrence whose polynomial has the exponents n
// and those given: of maximal length where the polynomial is primitive.
func maximal(n int, exponents ...int) []byte {
	s := make([]byte, 1<<n-1)
	s[n-1] = 1
	for t := n; t < len(s); t++ {
		for _, e := range exponents {
			s[t] ^= s[t-n+e]
		}
	}
	return s
}

// The polynomials are the first of each degree in a published table of primitive ones
// (Peterson and Weldon, Error-Correcting Codes, 1972, appendix C: from memory); that they
// are primitive is what TestMaximalLength shows.
func maximal13() []byte { return maximal(13, 4, 3, 1, 0) }
func maximal15() []byte { return maximal(15, 1, 0) }
func maximal16() []byte { return maximal(16, 12, 3, 1, 0) }
func maximal17() []byte { return maximal(17, 3, 0) }

// chips are bits as they are played: 1 for 0, and -1 for 1.
func chips(s []byte) []float64 {
	made := make([]float64, len(s))
	for i, b := range s {
		made[i] = 1 - 2*float64(b)
	}
	return made
}

// decimated is every q-th bit of a sequence that goes round, from the first on that does not
// make zeros alone: where q divides the period there are such.
func decimated(s []byte, q int) []byte {
	made := make([]byte, len(s))
	for from := 0; !slices.Contains(made, 1); from++ {
		for t := range made {
			made[t] = s[(from+q*t)%len(s)]
		}
	}
	return made
}

// summed is a sequence plus another that is ahead by a number of bits, modulo 2.
func summed(a, b []byte, ahead int) []byte {
	made := make([]byte, len(a))
	for t := range made {
		made[t] = a[t] ^ b[(t+ahead)%len(b)]
	}
	return made
}

// family is a number of the sequences that two make: the first, the second where it is to
// be one of them, and the first plus each shift of the second.
func family(size int, u, v []byte, both bool) [][]byte {
	made := [][]byte{u}
	if both {
		made = append(made, v)
	}
	for ahead := 0; len(made) < size; ahead++ {
		made = append(made, summed(u, v, ahead))
	}
	return made[:size]
}

// gold is a number of Gold's sequences, by the decimation 2^k+1 with k of 1 for an odd
// degree and 2 for one that 4 does not divide (Gold, Optimal binary sequences for spread
// spectrum multiplexing, 1967, and Maximal recursive sequences with 3-valued recursive
// cross-correlation functions, 1968: from memory).
func gold(size int, u []byte) [][]byte {
	q := 3
	if bits.Len(uint(len(u)))%2 == 0 {
		q = 5
	}
	return family(size, u, decimated(u, q), true)
}

// kasami is a number of the 2^(n/2) sequences of Kasami's small set, for an even degree n,
// by the decimation 2^(n/2)+1 (Kasami, Weight distribution formula for some class of cyclic
// codes, 1966: from memory).
func kasami(size int, u []byte) [][]byte {
	return family(size, u, decimated(u, 1<<(bits.Len(uint(len(u)))/2)+1), false)
}

// walsh is a place of a row of Walsh's functions, in the order of Hadamard's matrix.
func walsh(row, place int) float64 { return 1 - 2*float64(bits.OnesCount(uint(row&place))&1) }

// values are all that two codes have as correlation, times the period, in order; apart from
// the lag 0 where they are the same.
func values(t *testing.T, a, b []byte, same bool) []int {
	t.Helper()
	c := newCorrelator(chips(a))
	found := map[int]bool{}
	for lag, x := range c.lags(0, c.spectrum(chips(b))) {
		exact := math.Round(x * float64(len(a)))
		if math.Abs(x*float64(len(a))-exact) > 1e-3 {
			t.Fatalf("lag %d: %.6f is no whole number", lag, x*float64(len(a)))
		}
		if !same || lag != 0 {
			found[int(exact)] = true
		}
	}
	var all []int
	for v := range found {
		all = append(all, v)
	}
	slices.Sort(all)
	return all
}

// A sequence of maximal length has 2^(n-1) ones, the autocorrelation -1 at every lag but 0,
// and with one of its own shifts added it is another shift of itself (Golomb, Shift Register
// Sequences, 1967: balance, two-level autocorrelation, shift and add).
func TestMaximalLength(t *testing.T) {
	for n, s := range map[int][]byte{13: maximal13(), 16: maximal16(), 17: maximal17(), 15: maximal15(), 5: maximal(5, 2, 0)} {
		ones := 0
		for _, b := range s {
			ones += int(b)
		}
		if got := values(t, s, s, true); !slices.Equal(got, []int{-1}) || ones != 1<<(n-1) {
			t.Errorf("degree %d: %d ones, autocorrelation %v", n, ones, got)
		}
		for _, ahead := range []int{1, len(s) / 3} {
			if got := values(t, s, summed(s, s, ahead), false); !slices.Equal(got, []int{-1, len(s)}) {
				t.Errorf("degree %d: with its shift by %d it has %v", n, ahead, got)
			}
		}
	}
}

// Two of Gold's sequences have the correlations -t, -1 and t-2 alone, with t = 2^((n+1)/2)+1
// for an odd degree and 2^((n+2)/2)+1 for an even one: t(5) = 9, t(6) = 17, t(7) = 17 (Gold
// 1967; Sarwate and Pursley, Crosscorrelation properties of pseudorandom and related
// sequences, 1980, table: from memory).
func TestGold(t *testing.T) {
	for _, of := range []struct{ u, size, t int }{{5, 33, 9}, {6, 65, 17}, {7, 24, 17}, {17, 3, 513}} {
		u := map[int][]byte{5: maximal(5, 2, 0), 6: maximal(6, 1, 0), 7: maximal(7, 3, 0), 17: maximal17()}[of.u]
		threeValued(t, fmt.Sprint("degree ", of.u), gold(of.size, u), []int{-of.t, -1, of.t - 2})
	}
}

// The codes of a satellite system are Gold's of degree 10: one register, plus another that is
// later by a number of chips. Their first ten chips stand in a published table, in octal
// (IS-GPS-200, table 3-Ia: satellites 1 to 8, delays 5, 6, 7, 8, 17, 18, 139 and 140).
func TestPublishedCodes(t *testing.T) {
	g1, g2 := fromOnes(maximal(10, 7, 0)), fromOnes(maximal(10, 8, 7, 4, 2, 1, 0))
	delays := []int{5, 6, 7, 8, 17, 18, 139, 140}
	for n, want := range []int{01440, 01620, 01710, 01744, 01133, 01455, 01131, 01454} {
		got := 0
		for _, chip := range summed(g1, g2, len(g2)-delays[n])[:10] {
			got = got<<1 | int(chip)
		}
		if got != want {
			t.Errorf("satellite %d begins with %o, not %o", n+1, got, want)
		}
	}
}

// fromOnes is a sequence of degree 10 from where a register of ones alone begins it.
func fromOnes(s []byte) []byte {
	round := slices.Concat(s, s)
	for from := range s {
		if !slices.Contains(round[from:from+10], 0) {
			return round[from : from+len(s)]
		}
	}
	return nil
}

// Two of Kasami's small set have the correlations -s, -1 and s-2 alone, with s = 2^(n/2)+1:
// s(6) = 9, s(8) = 17 (Kasami 1966; Sarwate and Pursley 1980: from memory).
func TestKasami(t *testing.T) {
	for _, of := range []struct{ u, size, s int }{{6, 8, 9}, {8, 16, 17}, {16, 3, 257}} {
		u := map[int][]byte{6: maximal(6, 1, 0), 8: maximal(8, 4, 3, 2, 0), 16: maximal16()}[of.u]
		threeValued(t, fmt.Sprint("degree ", of.u), kasami(of.size, u), []int{-of.s, -1, of.s - 2})
	}
}

// threeValued holds every pair of a family against the values that it may have; all of them
// occur.
func threeValued(t *testing.T, name string, family [][]byte, want []int) {
	t.Helper()
	all := map[int]bool{}
	for i, a := range family {
		for j, b := range family[:i+1] {
			for _, v := range values(t, a, b, i == j) {
				if all[v] = true; !slices.Contains(want, v) {
					t.Fatalf("%s, %d and %d: a correlation of %d, want only %v", name, i, j, v, want)
				}
			}
		}
	}
	if len(all) != len(want) {
		t.Errorf("%s: of %v only %v occur", name, want, all)
	}
}
