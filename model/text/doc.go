// Package text reads the files that people write, and writes them back: studios,
// sessions, patches and descriptions of devices, all in YAML.
//
// Vocabulary: a place is a file, a line and a column, columns counting
// characters from 1; a problem is a mistake at a place; a key is the way to a
// part of a file, such as gear.interface.outputs or wiring[3], and Places says
// where it stands. A table lists the fields of one mapping of a file: their
// keys, what may stand there and what they are for. One table for each kind of
// file drives the reader, and whatever else wants to know what is legal.
//
// A file is read to its end: every mistake in it is reported, sorted, each at
// its place. Scalars are taken as written, never by YAML type: off, 012 and
// +4 dBu are text. Values carry no places; the readers return them beside.
//
// The package is the only one that knows YAML. It opens no file: whoever calls
// has the bytes.
package text
