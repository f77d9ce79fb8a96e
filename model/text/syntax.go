package text

import (
	"errors"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"

	"gopkg.in/yaml.v3"

	"bayhand/model/phrase"
)

// parse turns a file into YAML nodes. A syntax error ends the reading of the
// file. A nil node without problems is a file that holds nothing.
func parse(s source, src []byte) (root *yaml.Node, problems Problems) {
	// The parser is not ours; whatever bytes break it must not end a daemon.
	defer func() {
		if r := recover(); r != nil {
			root, problems = nil, Problems{{Code: "syntax", Severity: Error, Place: s.place(1, 1),
				Message: "this is not YAML that can be read", Hint: "compare it with the examples of the manual"}}
		}
	}()
	decoder := yaml.NewDecoder(strings.NewReader(string(src)))
	var document, second yaml.Node
	if err := decoder.Decode(&document); err != nil {
		if errors.Is(err, io.EOF) {
			return nil, nil
		}
		return nil, Problems{syntaxProblem(s, err)}
	}
	err := decoder.Decode(&second)
	if err == nil {
		return nil, Problems{secondDocument(s, &second)}
	}
	if !errors.Is(err, io.EOF) {
		return nil, Problems{syntaxProblem(s, err)}
	}
	return document.Content[0], nil
}

func secondDocument(s source, n *yaml.Node) Problem {
	line := n.Line
	for l := line; l > 1; l-- {
		if strings.HasPrefix(string(s.line(l)), "---") {
			line = l
			break
		}
	}
	return Problem{Code: "document", Severity: Error, Place: s.place(line, 1),
		Message: "a second document begins here; a file holds one", Hint: "take out the line of --- or write another file"}
}

const directiveMessage = "a line that begins with % means something else to YAML"

var unknownAnchor = regexp.MustCompile(`^unknown anchor '(.*)' referenced`)

var yamlError = regexp.MustCompile(`^yaml: (?:line (\d+): )?(.*)$`)

// syntaxProblem says in our own words what the parser found. It reports a line
// only, and for some errors the line before; the column is looked for.
func syntaxProblem(s source, err error) Problem {
	found := yamlError.FindStringSubmatch(err.Error())
	if found == nil {
		return Problem{Code: "syntax", Severity: Error, Place: s.place(1, 1), Message: "this is not YAML that can be read"}
	}
	line, _ := strconv.Atoi(found[1])
	line = max(1, line)
	if strings.HasPrefix(string(s.line(1)), "%") {
		return Problem{Code: "syntax", Severity: Error, Place: s.place(1, 1), Message: directiveMessage, Hint: "take the line out"}
	}
	if anchor := unknownAnchor.FindStringSubmatch(found[2]); anchor != nil {
		return Problem{Code: "syntax", Severity: Error, Place: s.find("*" + anchor[1]),
			Message: phrase.Put("the alias *{anchor} stands here, and no anchor &{anchor} above it", "anchor", anchor[1]), Hint: "put quotes around text that begins with *"}
	}
	for _, special := range []func(source, int, string) (Problem, bool){torn, deeper, undashed} {
		if p, ok := special(s, line, found[2]); ok {
			return p
		}
	}
	for _, known := range syntaxErrors {
		if strings.Contains(found[2], known.found) {
			return known.problem(s, known.look(s, line))
		}
	}
	return Problem{Code: "syntax", Severity: Error, Place: firstMark(s, line), Message: fmt.Sprintf("this is not YAML: %s", found[2])}
}

// syntaxError is an error of the parser in our words, and where to look for it.
type syntaxError struct {
	found, message, hint string
	look                 func(s source, line int) Place
}

func (e syntaxError) problem(s source, place Place) Problem {
	p := Problem{Code: "syntax", Severity: Error, Place: place, Message: e.message, Hint: e.hint}
	if s.has(place.Line, place.Column, "\t") {
		p.Message, p.Hint = "a tab stands here", "indent with spaces"
	}
	return p
}

var syntaxErrors = []syntaxError{
	{"mapping values are not allowed", "a colon with a space after it stands where no key can be", "put quotes around text that holds one", colon},
	{"did not find expected ',' or ']'", "the brackets [ ] are not written as YAML wants them", bracketHint, bracket('[')},
	{"did not find expected ',' or '}'", "the braces { } are not written as YAML wants them", bracketHint, bracket('{')},
	{"cannot start any token", "no text can begin with this character", "put quotes around the text", noStart},
	{"tab character", "a tab stands here", "indent with spaces", tab},
	{"did not find expected key", "the indentation is not that of the lines around it, or a key is missing", "keys of one mapping begin at one column, each with a colon after it", indentation},
	{"did not find expected '-' indicator", "the indentation is not that of the lines around it, or a - is missing", "items of one list begin at one column, each with - before it", indentation},
	{"block sequence entries are not allowed", "a list cannot begin here", "begin it on a line of its own", lateDash},
	{"could not find expected ':'", "a key without a colon stands here", "write key: value", firstMark},
	{"unexpected end of stream", "a quote that opens is never closed", "close it", quote},
	{"unexpected document indicator", "a line of --- or ... stands inside quotes", "indent it", firstMark},
	{"unknown escape character", "a backslash stands here with a letter that means nothing", `write \\ for a backslash, or use single quotes`, escape},
	{"Unicode character escape", "a backslash code stands here that is no character", `write \u and four hexadecimal digits`, escape},
	{"hexdecimal number", "a backslash code stands here that is no character", `write \u and four hexadecimal digits`, escape},
	{"alphabetic or numeric character", "an anchor or alias without a name stands here", "put quotes around text that begins with & or *", alias},
	{"expected node content", "a value is missing here", "write one, or take the comma out", noValue},
	{"exceeded max depth", "brackets or indentations stand too deep inside one another", "write it flatter", firstMark},
	{"comment or line break", "text stands here after the mark of a block text", "begin it on the next line", blockMark},
	{"document start", "text stands here after the end of the document", "take it out", after},
	{"directive", directiveMessage, "put quotes around the text", firstMark},
	{"tag", "a tag stands here; texts are read as written", "put quotes around text that begins with !", tagMark},
	{"mapping keys are not allowed", "a question mark stands where no key can be", "put quotes around the text", firstMark},
}

const bracketHint = "close them, part the items by commas, and put quotes around text that holds any of , ? [ ] { }"
