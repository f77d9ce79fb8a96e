package page

import (
	"bytes"
	"html/template"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// plainTouch is the address of touching a jack where nothing else is asked for.
const plainTouch = "/?at="

// drawn are the columns of the studio's bays with nothing in them, as markup, by
// the top jack. Most columns of a large room look so most of the time, and making
// them anew is most of the work of a page.
type drawn map[name.Point]template.HTML

// draw makes the markup of all plain columns but each bay's first, which the tab
// key reaches.
func (h drawer) draw() drawn {
	all := drawn{}
	none := plugs{deadNormals: set(h.page.Studio.FaultyNormals), faulty: set(h.page.Studio.Faulty)}
	for _, b := range h.page.Studio.Bays {
		size := jackSizeOf(b)
		for n := 2; n <= b.Pairs(); n++ {
			col := h.column(b, n, size, none)
			if !col.Plain() {
				continue
			}
			var out bytes.Buffer
			if err := views().ExecuteTemplate(&out, "column", map[string]any{"Col": col, "Bay": b.Name, "Touch": plainTouch}); err != nil {
				continue // it is made with the page then, which says what is wrong
			}
			all[b.TopJack(n)] = template.HTML(out.String()) //nolint:gosec // the template escaped it
		}
	}
	return all
}

// plain is the column's markup where nothing is in it, to be done or touched.
func (h drawer) plain(b studio.Bay, n int, plugs plugs) (template.HTML, bool) {
	top, bottom := b.TopJack(n), b.BottomJack(n)
	if plugs.brokenNormals[top] {
		return "", false
	}
	for _, at := range []name.Point{top, bottom} {
		if _, in := plugs.at[at]; in || plugs.next[at] || plugs.faulty[at] || plugs.lit[at] || plugs.chosen == at {
			return "", false
		}
	}
	html, ok := h.page.drawn[top]
	return html, ok
}
