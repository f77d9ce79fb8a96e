package arrange

import (
	"errors"
	"math"
	"testing"
)

// Columns far outside are refused, also where a sum of them would turn negative.
func TestExchangeFarOutside(t *testing.T) {
	l := &Layout{columns: &columns{top: make([]int, 16)}}
	for _, e := range [][3]int{{math.MaxInt, 0, 8}, {0, math.MaxInt - 7, 8}, {0, 8, math.MaxInt}, {math.MinInt, 0, 8}, {-5, 8, 8}, {0, 9, 8}, {0, 7, 8}} {
		if _, err := l.Exchanged(Request{}, e[0], e[1], e[2], BothRows); !errors.Is(err, ErrCannot) {
			t.Errorf("%v: %v", e, err)
		}
	}
}
