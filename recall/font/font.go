// Package font has the letters that the page and drawings are set in: Go Regular and
// Go Bold, cut down to Latin, Greek and Cyrillic and packed for browsers. README says
// how, and has their licence. Papers embed the whole fonts instead.
package font

import _ "embed" // the fonts are files

// Regular and Bold are fonts in the format WOFF2 (W3C). Nobody may change them.
var (
	//go:embed regular.woff2
	Regular []byte
	//go:embed bold.woff2
	Bold []byte
)
