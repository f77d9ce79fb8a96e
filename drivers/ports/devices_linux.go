package ports

import (
	"os"
	"path/filepath"
	"strings"
)

// Lists says whether raw devices can be listed on this platform.
const Lists = true

// Devices are the raw MIDI devices of the machine whose files lie below root, with
// the names that the kernel gives them. None of them is opened.
func Devices(root string) ([]Device, error) {
	paths, err := filepath.Glob(filepath.Join(root, "dev/snd/midiC*D*"))
	if err != nil {
		return nil, err
	}
	var devices []Device
	for _, path := range paths {
		card, number, _ := strings.Cut(strings.TrimPrefix(filepath.Base(path), "midiC"), "D")
		// The first line of the card's own file is the device's name.
		about, err := os.ReadFile(filepath.Join(root, "proc/asound/card"+card, "midi"+number))
		if err != nil {
			about = nil // without a name it can still be named by its path
		}
		name, _, _ := strings.Cut(strings.TrimSpace(string(about)), "\n")
		devices = append(devices, Device{Path: path, Name: strings.TrimSpace(name)})
	}
	return devices, nil
}
