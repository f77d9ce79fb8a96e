package words

import (
	"maps"

	"bayhand/model/name"
)

// shorts are labels of gear, bays and ports for where the whole ones do not fit.
type shorts struct {
	owners map[string]string
	ports  map[name.Point]string
}

func (s shorts) owner(owner, short string) {
	if short != "" {
		s.owners[owner] = Clean(short)
	}
}

func (s shorts) port(p name.Point, short string) {
	if short != "" {
		s.ports[p] = Clean(short)
	}
}

// Short are the places by the short labels that the studio's file has for them; what has none
// is called as ever.
func (w *Places) Short() *Places {
	if len(w.shorts.owners)+len(w.shorts.ports) == 0 {
		return w
	}
	short := *w
	short.owners, short.ports = maps.Clone(w.owners), maps.Clone(w.ports)
	maps.Copy(short.owners, w.shorts.owners)
	maps.Copy(short.ports, w.shorts.ports)
	return &short
}
