package text

import (
	"strconv"
	"strings"

	"bayhand/model/measure"
	"bayhand/model/studio"
)

// cordReader reads what cords are owned.
type cordReader struct {
	*reader
	stock  *studio.Stock
	cables *cableReader
}

// read reads {stock, slack}, or the stock alone as a list.
func (r *cordReader) read(n *node) {
	if n == nil {
		return
	}
	stock := r.stock
	if n.shape == list {
		stock.Unlimited = false
		stock.Cords = r.list(n)
		return
	}
	v := r.fields(n, cordsFields)
	stock.Cable = r.cables.cable(v.of["cable"])
	if stock.Slack = measured(v, "slack", measure.ParseLength, studio.DefaultSlack); stock.Slack < 0 {
		r.fault(v.of["slack"], "quantity", "", "%s stands here; slack is 0 cm or more", quoteText(v.text("slack")))
	}
	stock.Numbers = r.numbers(v.of["numbered"])
	switch kinds := v.of["stock"]; {
	case kinds == nil:
	case kinds.shape == mapping:
		stock.Unlimited = false
		stock.Cords = r.counts(kinds)
	case kinds.shape == list:
		stock.Unlimited = false
		stock.Cords = r.list(kinds)
	default:
		r.fault(kinds, "shape", "write {30 cm: 24, 60 cm: 12}", "%s stands here; stock is a mapping of lengths to counts, or a list", quoteText(kinds.text))
	}
}

// numbers reads 1-36.
func (r *cordReader) numbers(n *node) studio.Numbers {
	if n == nil || !r.isText(n) {
		return studio.Numbers{}
	}
	low, high, _ := strings.Cut(n.text, "-")
	first, err := strconv.Atoi(strings.TrimSpace(low))
	last, second := strconv.Atoi(strings.TrimSpace(high))
	if err != nil || second != nil || first < 1 || last < first || last > most {
		r.fault(n, "quantity", "write 1-36", "%s stands here; cords are numbered from a whole number to another, such as 1-36", quoteText(n.text))
		return studio.Numbers{}
	}
	return studio.Numbers{First: first, Last: last}
}

// counts reads {30 cm: 24, 60 cm: 12}.
func (r *cordReader) counts(n *node) []studio.StockCord {
	var cords []studio.StockCord
	first := map[measure.Length]*node{}
	for _, e := range n.entries {
		length, err := measure.ParseLength(e.key.text)
		switch {
		case err != nil:
			r.fault(e.key, "quantity", "", "%s", err.Error())
			continue
		case length <= 0:
			r.fault(e.key, "quantity", "", "%s stands here; a cord is longer than 0 cm", quoteText(e.key.text))
			continue
		case first[length] != nil:
			r.fault(e.key, "duplicate", "", "cords of %s are counted twice; they are in line %d already", length, first[length].place.Line)
			continue
		}
		first[length] = e.key
		if count, ok := r.numberOf(e.value, 0, most); ok {
			cords = append(cords, studio.StockCord{Length: length, Count: count})
		}
	}
	return cords
}

// list reads [{length: 60 cm, ends: [bantam, quarter-inch], count: 4}].
func (r *cordReader) list(n *node) []studio.StockCord {
	var cords []studio.StockCord
	for _, item := range n.items {
		v := r.fields(item, stockCordFields)
		cord := studio.StockCord{Length: r.positive(v, "length"), Poles: v.number("poles", 0), Colour: v.text("colour"), Count: v.number("count", 1)}
		if v.has("ends") {
			cord.Ends = r.ends(v)
		}
		cords = append(cords, cord)
	}
	return cords
}

func (r *cordReader) ends(v values) (ends [2]studio.Jack) {
	f, _ := bayFields.Field("jack")
	if len(v.list("ends")) != 2 {
		r.fault(v.of["ends"], "count", "write [bantam, bantam]", "a cord has two ends")
		return ends
	}
	for i, item := range v.list("ends") {
		if r.isText(item) {
			ends[i] = jackNamed(r.wordOf(item, f.Words))
		}
	}
	return ends
}
