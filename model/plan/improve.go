package plan

import (
	"bayhand/model/plan/clause"
)

// paid is the total of some costs in the answer found last.
func (e *encoding) paid(costs []cost) int {
	total := 0
	for _, c := range costs {
		if c.lit == clause.True || c.lit != clause.False && e.Value(c.lit) {
			total += c.weight
		}
	}
	return total
}
