package text

// shape is what a part of a file is to YAML.
type shape uint8

const (
	noShape shape = iota
	scalar
	list
	mapping
)

func (s shape) String() string {
	switch s {
	case scalar:
		return "text"
	case list:
		return "a list"
	case mapping:
		return "a mapping"
	case noShape:
	}
	return "nothing"
}

// node is a part of a file with its place. Aliases are followed, so that the
// parts form a tree.
type node struct {
	shape shape
	// key is the way to the part from the root of the file.
	key   string
	place Place
	// text of a scalar, as written without its quotes.
	text string
	// inner is the column of the first character of the text; 0 where quotes,
	// escapes or several lines make columns inside the text impossible.
	inner  int
	quoted bool
	// flow is true for brackets and braces.
	flow bool
	// torn is true where a comma tore an entry of the mapping, which was
	// reported; what is missing then is not worth a word.
	torn    bool
	items   []*node
	entries []entry
}

type entry struct {
	key, value *node
}

// empty says whether nothing is written where the part should be.
func (n *node) empty() bool { return n.shape == scalar && n.text == "" && !n.quoted }

// field is the value of a key; nil if the mapping does not have it.
func (n *node) field(key string) *node {
	if n == nil {
		return nil
	}
	for _, e := range n.entries {
		if e.key.text == key {
			return e.value
		}
	}
	return nil
}

// eachEntry are the entries of a mapping; none of a nil node.
func (n *node) eachEntry() []entry {
	if n == nil {
		return nil
	}
	return n.entries
}

// all are the items of a list; none of a nil node.
func (n *node) all() []*node {
	if n == nil {
		return nil
	}
	return n.items
}
