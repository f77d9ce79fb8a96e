//go:build !linux

package ports

// Lists says whether raw devices can be listed on this platform.
const Lists = false

// Devices are none: raw MIDI devices are no files here.
func Devices(string) ([]Device, error) { return nil, nil }
