package houses

import "math"

// Size is how large a house is, by the pairs of its bays without those that are
// mults: anything from 16.
type Size struct{ Pairs int }

// The sizes that there are, and any between them: one bay of 24 pairs with a
// matrix of 8 x 8; 48 pairs with 12 x 12; four bays of 48 with 32 x 32; 40 bays of
// 48 with sixteen matrices of 64 x 64 and 400 ties.
var (
	Home     = Size{24}
	Small    = Size{48}
	Project  = Size{192}
	Facility = Size{1920}
)

// bays is how many there are, of 48 pairs at most.
func (s Size) bays() int { return (s.Pairs + 47) / 48 }

// high is how many bays stand one above another.
func (s Size) high() int {
	if s.bays() <= 8 {
		return 2
	}
	return 4
}

func (s Size) columns() int { return (s.bays() + s.high() - 1) / s.high() }

// between is a number for the size where it is known for those that have names:
// even growth between them.
func (s Size) between(home, small, project, facility float64) int {
	at := []float64{24, 48, 192, 1920}
	is := []float64{home, small, project, facility}
	i := 0
	for i < 2 && float64(s.Pairs) > at[i+1] {
		i++
	}
	part := math.Log(float64(s.Pairs)/at[i]) / math.Log(at[i+1]/at[i])
	return int(math.Round(is[i]*math.Pow(is[i+1]/is[i], part) + 0.0001))
}

// matrix is the width of a matrix, and matrices how many there are.
func (s Size) matrix() int {
	if s.Pairs > Project.Pairs {
		return 64
	}
	return s.between(8, 12, 32, 64)
}

func (s Size) matrices() int {
	if s.Pairs <= Project.Pairs {
		return 1
	}
	return max(2, s.Pairs*16/Facility.Pairs)
}

// ties are none where all bays stand together.
func (s Size) ties() int {
	if s.columns() < 2 {
		return 0
	}
	return s.between(2, 4, 10, 400)
}

// asked is how many destinations the hand gives a source.
func (s Size) asked() int { return s.between(9, 17, 44, 190) }
