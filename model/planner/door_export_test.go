package planner

// The tests of the search ask it for plans without an order of steps.
type Options = options

var Find = find
