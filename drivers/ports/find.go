package ports

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"sync"

	"gitlab.com/gomidi/midi/v2/drivers"
)

// current is what ports are found by now.
var current struct {
	mu     sync.Mutex
	driver drivers.Driver
}

// Driver is the one that ports are found by: System where the machine has it, else
// Raw. It is the one in the library's register as well.
func Driver() drivers.Driver {
	current.mu.Lock()
	defer current.mu.Unlock()
	if _, ok := current.driver.(System); ok {
		return current.driver
	}
	driver := drivers.Driver(Raw{})
	if of, ok := thisMachine(); ok {
		driver = System{of: of}
	}
	if driver != current.driver {
		clear(drivers.REGISTRY) // the first one that is entered is the one that is got
		drivers.Register(driver)
		current.driver = driver
	}
	return driver
}

// In is the port of that name to hear: the whole name in any letter case, or
// failing that a part of the name of one port only. It is not open yet.
func In(name string) (drivers.In, error) {
	ins, err := Driver().Ins()
	if err != nil {
		return nil, fmt.Errorf("the MIDI ports cannot be listed: %w", err)
	}
	return named(ins, name)
}

// Out is the port of that name to send to, found as by In.
func Out(name string) (drivers.Out, error) {
	outs, err := Driver().Outs()
	if err != nil {
		return nil, fmt.Errorf("the MIDI ports cannot be listed: %w", err)
	}
	return named(outs, name)
}

// SystemNames are the names of the operating system's ports, to hear or to send to,
// sorted; none where this build does not reach them, or they cannot be listed.
func SystemNames() []string {
	s, ok := Driver().(System)
	if !ok {
		return nil
	}
	var names []string
	ins, _ := s.Ins()
	for _, in := range ins {
		names = append(names, clean(in.String()))
	}
	outs, _ := s.Outs()
	for _, out := range outs {
		names = append(names, clean(out.String()))
	}
	slices.Sort(names)
	return slices.Compact(names)
}

func named[P drivers.Port](all []P, name string) (P, error) {
	var exact, part []P
	for _, p := range all {
		switch have, want := strings.ToLower(p.String()), strings.ToLower(name); {
		case p.Underlying() == any(name):
			return p, nil // by what no other has: a path, or a number
		case have == want:
			exact = append(exact, p)
		case strings.Contains(have, want):
			part = append(part, p)
		}
	}
	if len(exact) == 0 {
		exact = part
	}
	var none P
	switch {
	case len(exact) == 1:
		return exact[0], nil
	case len(exact) > 1:
		return none, fmt.Errorf("several MIDI ports are so called: %s; write more of the name, or what is in brackets", list(exact))
	case len(all) > 0:
		return none, fmt.Errorf("no MIDI port is called %q; there are %s", name, list(all))
	}
	return none, fmt.Errorf("no MIDI port is called %q; none is plugged in, or its driver is not loaded", name)
}

// list names ports; a raw one comes with its path.
func list[P drivers.Port](all []P) string {
	var names []string
	for _, p := range all {
		text := fmt.Sprintf("%q", clean(p.String()))
		if path, ok := p.Underlying().(string); ok && path != p.String() {
			text += " (" + path + ")"
		}
		names = append(names, text)
	}
	return strings.Join(names, ", ")
}

// clean is text that can be shown: what a driver of the system says may hold any
// byte.
func clean(text string) string {
	shown := strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7F || r == '\uFFFD' {
			return -1
		}
		return r
	}, strings.ToValidUTF8(text, ""))
	return cmp.Or(strings.TrimSpace(shown), "no name")
}
