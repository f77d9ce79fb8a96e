package name

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// MaxNumber bounds the number of a port, jack or channel, and with it the
// length of a range.
const MaxNumber = 9999

// List reads a point, a range (interface/out1-8) or a list
// (interface/out1,3,5-8), and expands it in the order written. A bare owner
// gives one point without a port. The error is an *Error.
func List(text string) ([]Point, error) {
	owner, port, found := strings.Cut(text, "/")
	if err := CheckOwner(owner); err != nil {
		return nil, err
	}
	if !found {
		return []Point{{Owner: owner}}, nil
	}
	points, err := Ports(owner, port)
	if e, ok := err.(*Error); ok {
		e.At += utf8.RuneCountInString(owner) + 1
		return nil, e
	}
	return points, nil
}

// Ports reads the part of a name after the slash, as it stands in a list of
// one owner's own ports: out1-8, in1,3, ins1.send.
func Ports(owner, text string) ([]Point, error) {
	if space := strings.IndexFunc(text, unicode.IsSpace); space >= 0 {
		if strings.Contains(text[space:], "/") && strings.HasSuffix(text[:space], ",") {
			return nil, errorAt(utf8.RuneCountInString(text[:space])-1, "one place or range stands here, such as out1-2 or out1,3; for others write a line of their own")
		}
		if strings.Contains(text[space:], "/") {
			return nil, errorAt(utf8.RuneCountInString(text[:space]), "between two places stands ->, or = in a tie, or - in a cord")
		}
		return nil, errorAt(utf8.RuneCountInString(text[:space]), "%q has a space; names, ranges and lists are written without, such as out1,3,5-8", text)
	}
	body, part, err := cutPart(text)
	if err != nil {
		return nil, err
	}
	stem := strings.TrimRight(body, "0123456789,-")
	stem = body[:len(stem)]
	// A hyphen before a letter belongs to the stem (usb-out3); trailing ones
	// before digits were cut off above and start the numbers.
	numbers := body[len(stem):]
	if err := checkStem(stem, text); err != nil {
		return nil, err
	}
	if numbers == "" {
		if stem == "" {
			return nil, errorAt(0, "a port's name is missing after the slash; write a name such as %s/out1", owner)
		}
		return []Point{{Owner: owner, Stem: stem, Part: part}}, nil
	}
	if numbers[0] == '-' {
		return nil, errorAt(len(stem), "%q has a hyphen before its number; write it without", text)
	}
	return expand(owner, stem, numbers, part)
}

func cutPart(text string) (string, Part, error) {
	body, end, found := strings.Cut(text, ".")
	if !found {
		return text, Whole, nil
	}
	switch end {
	case "send":
		return body, Send, nil
	case "return":
		return body, Return, nil
	}
	return "", Whole, errorAt(utf8.RuneCountInString(body), "%q ends in .%s; only .send and .return, the halves of an insert, may follow a port's name", text, end)
}

func expand(owner, stem, numbers string, part Part) ([]Point, error) {
	var points []Point
	at := utf8.RuneCountInString(stem)
	seen := map[int]bool{}
	for _, item := range strings.Split(numbers, ",") {
		first, last, err := span(item, at)
		if err != nil {
			return nil, err
		}
		for n := first; n <= last; n++ {
			if seen[n] {
				return nil, errorAt(at, "%s%d is named twice in %s%s", stem, n, stem, numbers)
			}
			seen[n] = true
			points = append(points, Point{Owner: owner, Stem: stem, Number: n, Part: part})
		}
		at += len(item) + 1
	}
	return points, nil
}

func span(item string, at int) (first, last int, err error) {
	low, high, ranged := strings.Cut(item, "-")
	if first, err = number(low, at); err != nil {
		return 0, 0, err
	}
	if !ranged {
		return first, first, nil
	}
	if last, err = number(high, at+len(low)+1); err != nil {
		return 0, 0, err
	}
	if last < first {
		return 0, 0, errorAt(at, "the range %s runs downward; write %d-%d", item, last, first)
	}
	return first, last, nil
}

func number(text string, at int) (int, error) {
	if text == "" {
		return 0, errorAt(at, "a number is missing here")
	}
	if text[0] == '0' {
		return 0, errorAt(at, "the number %s begins with 0; numbers count from 1 and have no leading zero", text)
	}
	n, err := strconv.Atoi(text)
	if err != nil {
		return 0, errorAt(at, "%q is not a number from 1 to %d", text, MaxNumber)
	}
	if n > MaxNumber {
		return 0, errorAt(at, "the number %d is over the largest, %d", n, MaxNumber)
	}
	return n, nil
}

// CheckOwner says whether text can name a piece of gear, a bay, a box or a
// matrix: lower case letters, digits and hyphens, beginning with a letter, and
// not ending in digit-hyphen-digit, which is always a range.
func CheckOwner(text string) error {
	if text == "" {
		return errorAt(0, "a name is missing here")
	}
	at := 0
	for i, r := range text {
		letter := r >= 'a' && r <= 'z'
		if i == 0 && !letter || !letter && !(r >= '0' && r <= '9') && r != '-' {
			return errorAt(at, "%q has %q; a name is of lower case letters, digits and hyphens, and begins with a letter", text, r)
		}
		at++
	}
	return checkEnd(text)
}

// checkEnd refuses a trailing hyphen and an ending that reads as a range.
func checkEnd(text string) error {
	if strings.HasSuffix(text, "-") {
		return errorAt(len(text)-1, "%q ends in a hyphen", text)
	}
	head := strings.TrimRight(text, "0123456789")
	if cut, ok := strings.CutSuffix(head, "-"); ok && head != text && cut != "" && isDigit(cut[len(cut)-1]) {
		return errorAt(len(cut)-1, "%q ends in digit-hyphen-digit, which always means a range", text)
	}
	return nil
}

func checkStem(stem, text string) error {
	if first, _, listed := strings.Cut(stem, ","); listed && checkStem(strings.TrimRight(first, "0123456789"), text) == nil && first != "" {
		return errorAt(len(first), "%q lists ports by their names; only numbered ones stand in a list, such as out1,3: write a line for each", text)
	}
	at := 0
	for i, r := range stem {
		letter := r >= 'a' && r <= 'z'
		if !letter && (i == 0 || r != '-') {
			return errorAt(at, "%q has %q; a port's name is of lower case letters and hyphens, with a number at its end if it needs one", text, r)
		}
		at++
	}
	return nil
}

func isDigit(b byte) bool { return b >= '0' && b <= '9' }
