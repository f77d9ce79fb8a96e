package matrix

import "fmt"

// Label names an output on the display, or with no output an input. The error wraps
// ErrOutside.
func (m *Matrix) Label(o Output, i Input, text string) error {
	outside := int(o) > m.outputs || int(i) > m.inputs || o < 0 || i < 0 || o == 0 && i == 0
	if outside {
		return fmt.Errorf("%s %s is %w", o, i, ErrOutside)
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.labels == nil {
		m.labels = map[string]string{}
	}
	if o > 0 {
		m.labels[o.String()] = text
		return nil
	}
	m.labels[i.String()] = text
	return nil
}

// Labels are the names on the display, by output and input, such as out3 and in5.
func (m *Matrix) Labels() map[string]string {
	m.mu.Lock()
	defer m.mu.Unlock()
	all := map[string]string{}
	for at, text := range m.labels {
		all[at] = text
	}
	return all
}
