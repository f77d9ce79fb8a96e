//go:build race

package order_test

// share is the part of the drawn rooms that a run takes, as one in so many: fewer
// with the race detector, which makes each eight times as long and finds nothing in
// a search that starts no goroutine.
const share = 6
