//go:build race

package listen_test

// raced says that the race detector watches this test.
const raced = true
