//go:build !race

package keep_test

const (
	lives     = 42
	usualDays = 7
)
