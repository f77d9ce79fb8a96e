package plan

// Prefer is the taste by which one of several ways is chosen.
type Prefer uint8

const (
	// PreferSame takes the session's own last patch where it still gives the
	// session, and is PreferPlain otherwise.
	PreferSame Prefer = iota
	// PreferPlain lets no cord hang, chains no mults and taps nothing that the
	// session does not split, while another way exists.
	PreferPlain
	// PreferFewest looks at the number of plugs handled alone.
	PreferFewest
)

// String is the word that the command line has.
func (p Prefer) String() string {
	switch p {
	case PreferSame:
		return "same"
	case PreferPlain:
		return "plain"
	case PreferFewest:
		return "fewest"
	}
	return "unknown"
}
