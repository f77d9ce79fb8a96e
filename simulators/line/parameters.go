package line

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"bayhand/model/device"
)

// checkParameters refuses a parameter that the description does not have or a
// value that it does not allow.
func checkParameters(d *device.Description, given map[string]string) error {
	for _, name := range slices.Sorted(maps.Keys(given)) {
		at := slices.IndexFunc(d.Parameters, func(p device.Parameter) bool { return p.Name == name })
		if at < 0 {
			return fmt.Errorf("parameter %q is not one of its own: %s", name, parameterNames(d))
		}
		if err := checkValue(d.Parameters[at], given[name]); err != nil {
			return err
		}
	}
	return nil
}

func checkValue(p device.Parameter, value string) error {
	if len(p.Choices) > 0 {
		if !slices.Contains(p.Choices, value) {
			return fmt.Errorf("parameter %s is %q; it is one of %s", p.Name, value, strings.Join(p.Choices, ", "))
		}
		return nil
	}
	if n, err := strconv.Atoi(value); err != nil || n < p.From || n > p.To {
		return fmt.Errorf("parameter %s is %q; it is a number from %d to %d", p.Name, value, p.From, p.To)
	}
	return nil
}

func parameterNames(d *device.Description) string {
	if len(d.Parameters) == 0 {
		return "it has none"
	}
	names := make([]string, len(d.Parameters))
	for i, p := range d.Parameters {
		names[i] = p.Name
	}
	return strings.Join(names, ", ")
}
