package page

import (
	"fmt"
	"html/template"
	"strings"

	"bayhand/recall/words"
)

// wholeParts is a sentence as markup in which no line parts a name from its number, or an
// arrow: a browser would otherwise break "->" after its hyphen. Its text stays as it is,
// so that what is copied from the page can be put into a file.
func wholeParts(sentence string) template.HTML {
	parts := words.Parts(sentence)
	for i, part := range parts {
		parts[i] = template.HTMLEscapeString(part)
		if strings.ContainsAny(part, " >") {
			parts[i] = fmt.Sprintf(`<span class="whole">%s</span>`, parts[i])
		}
	}
	return template.HTML(strings.Join(parts, " ")) //nolint:gosec // each part is escaped
}
