package scpi

import (
	"strconv"
	"strings"
)

// queueDepth is how many errors are kept; SCPI-1999 asks for at least 2.
const queueDepth = 16

// queue is the error/event queue, first in first out.
type queue struct{ faults []fault }

// add puts an error at the end. When the queue is full the last entry becomes
// -350 and the new error is lost (SCPI-1999, vol. 2, 21.8.1).
func (q *queue) add(f fault) (overflowed bool) {
	if len(q.faults) == queueDepth {
		q.faults[queueDepth-1] = fault{code: queueOverflow}
		return true
	}
	q.faults = append(q.faults, f)
	return false
}

// next takes the oldest error, or no error.
func (q *queue) next() fault {
	if len(q.faults) == 0 {
		return fault{}
	}
	f := q.faults[0]
	q.faults = append(q.faults[:0], q.faults[1:]...)
	return f
}

func (q *queue) clear() { q.faults = q.faults[:0] }

// all takes every error, as SYSTem:ERRor:ALL? answers them.
func (q *queue) all(write func(fault) string) string {
	if len(q.faults) == 0 {
		return write(fault{})
	}
	parts := make([]string, len(q.faults))
	for i, f := range q.faults {
		parts[i] = write(f)
	}
	q.clear()
	return strings.Join(parts, ",")
}

func codeOnly(f fault) string { return strconv.Itoa(f.code) }
