package link

import (
	"context"
	"fmt"
	"strings"

	"bayhand/model/device"
)

// openMIDI opens a MIDI port by the name that the machine gives it, as a raw
// MIDI device.
func openMIDI(ctx context.Context, a Address) (Link, error) {
	lines, err := machineLines(ctx)
	if err != nil {
		return nil, err
	}
	path, err := portNamed(lines, a.Path)
	if err != nil {
		return nil, err
	}
	opened, err := openRawMIDI(Address{Kind: device.RawMIDILink, Path: path})
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return opened, nil
}

// portNamed is the path of the MIDI port with that name: the whole name in any
// letter case, or failing that a part of the name of one port only.
func portNamed(lines []line, name string) (path string, err error) {
	var exact, part, all []line
	for _, l := range lines {
		if l.kind != device.RawMIDILink.String() {
			continue
		}
		all = append(all, l)
		switch have, want := strings.ToLower(l.label), strings.ToLower(name); {
		case have == want:
			exact = append(exact, l)
		case strings.Contains(have, want):
			part = append(part, l)
		}
	}
	if len(exact) == 0 {
		exact = part
	}
	switch {
	case len(exact) == 1:
		return exact[0].path, nil
	case len(exact) > 1:
		return "", fmt.Errorf("several MIDI ports are so called: %s; write rawmidi: and the path of one", portList(exact))
	case len(all) > 0:
		return "", fmt.Errorf("no MIDI port is called %q; there are %s", name, portList(all))
	case !namesMIDI:
		return "", fmt.Errorf("MIDI ports by name: %w: not reachable on this platform", ErrNotHere)
	}
	return "", fmt.Errorf("no MIDI port is called %q; none is plugged in, or its driver is not loaded", name)
}

func portList(lines []line) string {
	var names []string
	for _, l := range lines {
		names = append(names, fmt.Sprintf("%q (%s)", l.label, l.path))
	}
	return strings.Join(names, ", ")
}
