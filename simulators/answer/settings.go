package answer

import (
	"fmt"
	"strconv"

	"bayhand/model/device"
)

// settings are the device's parameters with the values that it was given.
type settings struct{ values map[string]string }

func newSettings(d *device.Description, given map[string]string) (settings, error) {
	s := settings{map[string]string{}}
	for _, p := range d.Parameters {
		value, ok := given[p.Name]
		if !ok {
			value = p.Default
		}
		if value == "" {
			return settings{}, fmt.Errorf("parameter %s has no default; give it a value", p.Name)
		}
		s.values[p.Name] = value
	}
	return s, nil
}

// number is the value of a parameter that is a number; false for a name that
// is no such parameter.
func (s settings) number(name string) (int, bool) {
	n, err := strconv.Atoi(s.values[name])
	return n, err == nil
}

// added is what is added to a number of the field on its way to the wire.
func (s settings) added(f device.Field) int {
	more, _ := s.number(f.Plus)
	return f.Add + more
}

// text is the value of a parameter; false for a name that is none.
func (s settings) text(name string) (string, bool) {
	value, ok := s.values[name]
	return value, ok
}

// word is the value of the parameter rows, which is outputs where the
// description has no such parameter.
func (s settings) word(name string) string {
	if value, ok := s.values[name]; ok {
		return value
	}
	return "outputs"
}
