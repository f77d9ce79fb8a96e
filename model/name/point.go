// Package name holds the names of places in a studio: a port of a piece of
// gear, a jack of a bay, an input or output of a matrix.
//
// A point is written owner/port, such as interface/out7, main/t12 (top jack of
// pair 12) or grid/in3. The two halves of an insert are desk/ins1.send and
// desk/ins1.return. Printing and parsing are inverse: Parse(p.String()) == p
// for every point that Parse returns.
//
// The package knows words only. Whether a point exists, and what it is, only a
// studio can say; it imports nothing of this project.
package name

import (
	"cmp"
	"fmt"
	"strconv"
	"strings"
)

// Part tells the two halves of an insert apart.
type Part uint8

const (
	// Whole is a point that is no half of an insert.
	Whole Part = iota
	// Send is the output half of an insert.
	Send
	// Return is the input half of an insert.
	Return
)

// String returns the ending that the half has in a point's name: "", ".send"
// or ".return".
func (p Part) String() string {
	switch p {
	case Whole:
		return ""
	case Send:
		return ".send"
	case Return:
		return ".return"
	}
	return ".part" + strconv.Itoa(int(p))
}

// Point is one place. It is comparable; the zero Point is no place at all, and
// stands for the free end of a cord that hangs loose.
type Point struct {
	// Owner is the gear, bay, box or matrix.
	Owner string
	// Stem is the port's name without its number: "out" of out7; empty for a
	// socket of a box or a channel of gear, such as squeeze/1.
	Stem string
	// Number counts from 1; 0 means that the port has none.
	Number int
	// Part is the half of an insert.
	Part Part
}

// At makes the point owner/stem-number, without looking at its spelling.
func At(owner, stem string, number int) Point {
	return Point{Owner: owner, Stem: stem, Number: number}
}

// IsZero says whether p is no place at all.
func (p Point) IsZero() bool { return p == Point{} }

// Port is the name without its owner, such as out7 or ins1.send.
func (p Point) Port() string {
	if p.Number == 0 {
		return p.Stem + p.Part.String()
	}
	return p.Stem + strconv.Itoa(p.Number) + p.Part.String()
}

// String is the name as it is written in files, such as interface/out7. A gear
// by its bare name, as a chain may have it, prints without a slash.
func (p Point) String() string {
	port := p.Port()
	if port == "" {
		return p.Owner
	}
	return p.Owner + "/" + port
}

// MarshalText writes the name as files have it.
func (p Point) MarshalText() ([]byte, error) { return []byte(p.String()), nil }

// UnmarshalText reads what MarshalText wrote; an empty text is the zero Point.
func (p *Point) UnmarshalText(text []byte) error {
	if len(text) == 0 {
		*p = Point{}
		return nil
	}
	q, err := Parse(string(text))
	if err != nil {
		return err
	}
	*p = q
	return nil
}

// Compare orders points by owner, stem, number and part, so that out2 comes
// before out10.
func (p Point) Compare(q Point) int {
	return cmp.Or(
		strings.Compare(p.Owner, q.Owner),
		strings.Compare(p.Stem, q.Stem),
		cmp.Compare(p.Number, q.Number),
		cmp.Compare(p.Part, q.Part),
	)
}

// Error is a mistake in a name or a line of names.
type Error struct {
	// At counts characters, not bytes, from the start of the text to the place
	// of the mistake.
	At int
	// Message says what was found and what is legal.
	Message string
}

func (e *Error) Error() string { return e.Message }

func errorAt(at int, format string, args ...any) *Error {
	return &Error{At: at, Message: fmt.Sprintf(format, args...)}
}

// Parse reads one point. Ranges and lists are refused; List reads those. The
// error is an *Error.
func Parse(text string) (Point, error) {
	points, err := List(text)
	if err != nil {
		return Point{}, err
	}
	if len(points) != 1 || strings.ContainsAny(text, ",") {
		return Point{}, errorAt(0, "%q names several points where one is wanted", text)
	}
	return points[0], nil
}
