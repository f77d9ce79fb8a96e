package message

import (
	"bytes"
	"maps"

	"bayhand/model/device"
)

// checked reads fields that a checksum guards. It is looked at first: a message
// that noise spoilt is another message, whatever its numbers have become.
func (r *reader) checked(f device.Field) error {
	tail, size := r.tail, f.Check.Bytes()
	end := r.end() - size
	if tail < 0 || end < r.at {
		return r.other("no room for a checksum is in %s", show(r.in[r.at:]))
	}
	if want := checksum(f.Check, r.in[r.at:end]); !bytes.Equal(want, r.in[end:end+size]) {
		return r.other("the checksum is % X where % X is due", r.in[end:end+size], want)
	}
	if err := r.fields(f.Of, tail+size); err != nil {
		return err
	}
	if r.at != end {
		return r.other("%s stands before the checksum", show(r.in[r.at:end]))
	}
	r.at += size
	return nil
}

// recoded reads fields out of their hexadecimal digits, nibbles or sevens.
func (r *reader) recoded(f device.Field) error {
	end := r.end()
	data, ok := uncode(f, r.in[r.at:end])
	if r.tail < 0 || !ok {
		return r.other("found %s where %s are due", show(r.in[r.at:]), f.Kind)
	}
	inner := *r
	inner.in, inner.at = data, 0
	if err := inner.fields(f.Of, 0); err != nil {
		if isValue(err) {
			r.says = inner.says
		}
		return err
	}
	if inner.at != len(data) {
		return inner.other("%s follows inside the %s", show(data[inner.at:]), f.Kind)
	}
	whole := r.in
	*r = inner
	r.in, r.at = whole, end
	return nil
}

// either reads the first of several lists of fields that stands there.
func (r *reader) either(f device.Field) error {
	before := *r
	pieces := maps.Clone(r.pieces)
	var failed error
	for _, choice := range f.Choices {
		if failed = r.fields(choice, r.tail); failed == nil || isValue(failed) {
			return failed
		}
		*r = before
		r.pieces = maps.Clone(pieces)
	}
	return failed
}
