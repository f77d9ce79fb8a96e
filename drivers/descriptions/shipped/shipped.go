// Package shipped gives tests the descriptions that ship, read. No program imports it.
package shipped

import (
	"testing"

	"bayhand/drivers/descriptions"
	"bayhand/model/device"
	"bayhand/model/text"
)

// Named is the shipped description of that name. The test ends where there is none, or
// where it has errors.
func Named(t testing.TB, name string) *device.Description {
	t.Helper()
	file, src, err := descriptions.Named(name)
	if err != nil {
		t.Fatal(err)
	}
	d, _, problems := text.ReadDevice(file, src)
	if problems.Errors() {
		t.Fatal(problems)
	}
	return d
}
