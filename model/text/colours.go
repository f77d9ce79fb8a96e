package text

import (
	"slices"
	"strings"
)

// colourCodes are the letter codes of colours of IEC 60757, from memory.
var colourCodes = []string{"BK", "BN", "RD", "OG", "YE", "GN", "BU", "VT", "GY", "WH", "PK", "GD", "TQ", "SR"}

// earthCode is the colour of protective earth (IEC 60445).
const earthCode = "GNYE"

// coloursOf reads the colours of the cores of a kind of cable, a text a pair.
func (r *cableReader) coloursOf(n *node, pairs int) []string {
	var all []string
	for _, item := range n.items {
		cores := strings.Fields(item.text)
		switch wrong := slices.IndexFunc(cores, func(core string) bool { return !isColour(core) }); {
		case item.shape != scalar || len(cores) < 1 || len(cores) > 2:
			r.fault(item, "count", "write WH BU", "the cores of a pair are two, the hot one and the cold one, or one")
		case slices.Contains(cores, earthCode):
			r.fault(item, "quantity", "", "%s is the colour of protective earth, and of no core that carries a signal", earthCode)
		case wrong >= 0:
			r.fault(item, "unknown-name", maybe(cores[wrong], colourCodes), "%s is no code of a colour; there are %s", quoteText(cores[wrong]), oneOf(colourCodes))
		case len(all) == pairs:
			r.fault(item, "count", "", "this is one more than the pairs of the cable, which are %d", pairs)
			return all
		default:
			all = append(all, strings.Join(cores, " "))
		}
	}
	return all
}

// isColour says whether a text is a code, or two in a row for a core with a stripe.
func isColour(text string) bool {
	for rest := text; ; rest = rest[2:] {
		switch {
		case len(rest) < 2 || !slices.Contains(colourCodes, rest[:2]):
			return false
		case len(rest) == 2:
			return len(text) <= 4
		}
	}
}
