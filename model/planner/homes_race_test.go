//go:build race

package planner_test

// homes is how many drawn homes are planned in each run: few with the race
// detector, which makes each ten times as long and finds nothing in a search that
// starts no goroutine.
const homes = 12
