package text

// Table lists the fields of one mapping of a file.
type Table struct {
	// Name is what the mapping is, with its article: a bay, a matrix.
	Name   string
	Fields []Field
	// Open is true where other keys with texts may stand beside the fields.
	Open bool
}

// Field is one key of a mapping and what may stand there.
type Field struct {
	Key  string
	Kind Kind
	// Help says what the field is for, in a sentence without full stop.
	Help string
	// Form shows how the value is written.
	Form string
	// Words are the legal ones of a Word.
	Words []string
	// From and To bound a Number.
	From, To int
	// Of is the table of a Record, of each value of Records, RecordList and Ports,
	// and of a line in its long form.
	Of *Table
	// Any are the forms that an Other may have, each a field without a key; none
	// where its reader alone knows.
	Any []Field
	// Labelled lines may have a name of their own before them.
	Labelled bool
	Required bool
}

// Field finds a field by its key.
func (t Table) Field(key string) (Field, bool) {
	for _, f := range t.Fields {
		if f.Key == key {
			return f, true
		}
	}
	return Field{}, false
}

// Keys are the keys of all fields, in order.
func (t Table) Keys() []string {
	keys := make([]string, len(t.Fields))
	for i, f := range t.Fields {
		keys[i] = f.Key
	}
	return keys
}

// Kind is what may stand at a field.
type Kind uint8

// The kinds of field. Other is a field with a form of its own, that its reader
// knows.
const (
	Other       Kind = iota
	Text             // any text
	Word             // one of the words of the field
	Number           // a whole number
	Flag             // true or false
	Length           // a length, such as 60 cm
	Level            // a level, such as +4 dBu
	Impedance        // an impedance, such as 10 kohm
	Capacity         // the capacitance of a cable, such as 60 pF/m
	Resistivity      // the resistance of a core, such as 0.08 ohm/m
	Name             // the name of gear, a bay or a matrix
	Names            // a list of points or names
	Lines            // a list of lines of names
	Texts            // a list of texts
	Ports            // a mapping of ports to lines
	Settings         // a mapping of words to texts
	Record           // a mapping with a table of its own
	Records          // a mapping of names to mappings with a table
	RecordList       // a list of mappings with a table
	Lists            // a list of lists of names
	Tree             // a mapping of names to texts, lists or mappings of those
	Groups           // a mapping of names to mappings of names to texts or mappings with a table
)

// String says what stands at a field of the kind, with its article.
func (k Kind) String() string {
	switch k {
	case Text:
		return "text"
	case Word:
		return "a word"
	case Number:
		return "a whole number"
	case Flag:
		return "true or false"
	case Length:
		return "a length"
	case Level:
		return "a level"
	case Impedance:
		return "an impedance"
	case Capacity:
		return "the capacitance of a cable"
	case Resistivity:
		return "the resistance of a core"
	case Name:
		return "a name"
	case Names, Lines, Texts, RecordList, Lists:
		return "a list"
	case Ports, Settings, Record, Records, Tree, Groups:
		return "a mapping"
	case Other:
	}
	return "something else"
}

// shapes are the YAML shapes that a kind takes.
func (k Kind) shapes() []shape {
	switch k {
	case Text, Word, Number, Flag, Length, Level, Impedance, Capacity, Resistivity, Name:
		return []shape{scalar}
	case Names, Lines, Texts, RecordList, Lists:
		return []shape{list}
	case Ports, Settings, Record, Records, Tree, Groups:
		return []shape{mapping}
	case Other:
	}
	return []shape{scalar, list, mapping}
}
