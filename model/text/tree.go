package text

import (
	"strconv"
	"strings"

	"gopkg.in/yaml.v3"
)

// grower turns YAML nodes into parts.
type grower struct {
	*reader
	// open are the anchors whose content is being read, against circles.
	open    map[*yaml.Node]bool
	aliased int
	// stopped is set once a bound is passed; the problem was reported.
	stopped bool
}

func (g *grower) grow(y *yaml.Node, key string, depth int) *node {
	n := &node{key: key, place: g.src.place(y.Line, y.Column)}
	switch {
	case g.stopped:
		return n
	case depth > maxDepth:
		g.stopped = true
		g.report(n.place, "nesting", "", "this stands more than %d deep inside other parts", maxDepth)
		return n
	case len(g.open) > 0:
		if g.aliased++; g.aliased > maxAliased {
			g.stopped = true
			g.report(n.place, "alias", "write the parts out", "aliases stand for more than %d parts here", maxAliased)
			return n
		}
	}
	g.checkTag(y, n)
	switch y.Kind {
	case yaml.AliasNode:
		return g.follow(y, key, depth)
	case yaml.ScalarNode:
		g.scalar(y, n)
	case yaml.SequenceNode:
		g.list(y, n, depth)
	case yaml.MappingNode:
		g.mapping(y, n, depth)
	}
	return n
}

// checkTag refuses tags, which would ask for a YAML type.
func (g *grower) checkTag(y *yaml.Node, n *node) {
	if y.Style&yaml.TaggedStyle != 0 {
		g.report(n.place, "tag", "take it out", "the tag %s stands here; texts are read as written and have no types", y.Tag)
	}
}

func (g *grower) follow(y *yaml.Node, key string, depth int) *node {
	if g.open[y.Alias] {
		g.stopped = true
		place := g.src.place(y.Line, y.Column)
		g.report(place, "alias", "write the part out", "the alias *%s stands inside its own anchor", y.Value)
		return &node{key: key, place: place}
	}
	g.open[y.Alias] = true
	n := g.grow(y.Alias, key, depth+1)
	delete(g.open, y.Alias)
	return n
}

func (g *grower) scalar(y *yaml.Node, n *node) {
	n.shape, n.text = scalar, y.Value
	column := y.Column
	switch {
	case y.Style&(yaml.DoubleQuotedStyle|yaml.SingleQuotedStyle) != 0:
		n.quoted = true
		column++
	case y.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0:
		n.quoted = true
		return
	}
	if g.src.has(y.Line, column, n.text) {
		n.inner = column
	}
}

func (g *grower) list(y *yaml.Node, n *node, depth int) {
	n.shape, n.flow = list, y.Style&yaml.FlowStyle != 0
	for i, c := range y.Content {
		item := g.grow(c, n.key+"["+strconv.Itoa(i)+"]", depth+1)
		g.places.set(item.key, item.place)
		n.items = append(n.items, item)
	}
}

func (g *grower) mapping(y *yaml.Node, n *node, depth int) {
	n.shape, n.flow = mapping, y.Style&yaml.FlowStyle != 0
	had := map[string]*node{}
	for i := 0; i+1 < len(y.Content); i += 2 {
		k := g.grow(y.Content[i], n.key, depth+1)
		if !g.legalKey(y.Content[i], k) {
			continue
		}
		if first := had[k.text]; first != nil {
			g.report(k.place, "duplicate", "", "the key %s stands twice; it is in line %d already", k.text, first.place.Line)
			continue
		}
		had[k.text] = k
		key := strings.TrimPrefix(n.key+"."+k.text, ".")
		g.places.set(key, k.place)
		n.entries = append(n.entries, entry{k, g.grow(y.Content[i+1], key, depth+1)})
	}
	if n.flow {
		g.mendCommas(n)
	}
}

func (g *grower) legalKey(y *yaml.Node, k *node) bool {
	switch {
	case g.stopped:
		return false
	case y.Kind == yaml.ScalarNode && y.Tag == "!!merge":
		g.report(k.place, "merge", "write the keys out", "the merge key << stands here; it is not read")
		return false
	case k.shape != scalar:
		g.report(k.place, "key", "put quotes around text that begins with ? [ or {", "%s stands here where a key is wanted", k.shape)
		return false
	}
	return true
}
