//go:build race

package trial

// share is the part of the drawn rooms that a run takes, as one in so many: few
// with the race detector, which makes each fifteen times as long and finds nothing
// in a search that starts no goroutine.
const share = 20
