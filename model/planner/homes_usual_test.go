//go:build !race

package planner_test

// homes is how many drawn homes are planned in each run.
const homes = 60
