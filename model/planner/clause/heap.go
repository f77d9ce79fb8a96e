package clause

// heap holds variables, the most active first; of equal ones the oldest. Those
// that were never active are not in it: they come after all others, by their
// number, and are most of all variables.
type heap struct {
	activity []float64
	items    []int32
	place    []int32 // of each variable in items, from 1; 0 is out
	// quiet is a variable before which none is open that was never active.
	quiet int
}

func (h *heap) before(a, b int32) bool {
	x, y := h.activity[a], h.activity[b]
	return x > y || x == y && a < b
}

// grow makes room for one variable more, which was never active.
func (h *heap) grow() { h.activity, h.place = append(h.activity, 0), append(h.place, 0) }

// add puts a variable back.
func (h *heap) add(v int) {
	switch {
	case h.activity[v] == 0:
		h.quiet = min(h.quiet, v)
	case h.place[v] == 0:
		h.items = append(h.items, int32(v))
		h.place[v] = int32(len(h.items))
		h.up(len(h.items) - 1)
	}
}

// raise puts a variable right after its activity has grown.
func (h *heap) raise(v int) {
	if h.place[v] != 0 {
		h.up(int(h.place[v]) - 1)
	}
}

// take takes out the first of the variables that were active.
func (h *heap) take() (int, bool) {
	if len(h.items) == 0 {
		return 0, false
	}
	first := h.items[0]
	last := h.items[len(h.items)-1]
	h.items = h.items[:len(h.items)-1]
	h.place[first] = 0
	if last != first {
		h.items[0] = last
		h.place[last] = 1
		h.down(0)
	}
	return int(first), true
}

func (h *heap) up(i int) {
	v := h.items[i]
	for i > 0 {
		above := (i - 1) / 2
		if !h.before(v, h.items[above]) {
			break
		}
		h.items[i] = h.items[above]
		h.place[h.items[i]] = int32(i + 1)
		i = above
	}
	h.items[i] = v
	h.place[v] = int32(i + 1)
}

func (h *heap) down(i int) {
	v := h.items[i]
	for {
		below := 2*i + 1
		if below >= len(h.items) {
			break
		}
		if below+1 < len(h.items) && h.before(h.items[below+1], h.items[below]) {
			below++
		}
		if !h.before(h.items[below], v) {
			break
		}
		h.items[i] = h.items[below]
		h.place[h.items[i]] = int32(i + 1)
		i = below
	}
	h.items[i] = v
	h.place[v] = int32(i + 1)
}
