//go:build race

package page

// raced says that the race detector watches this test.
const raced = true
