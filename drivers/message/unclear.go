package message

import (
	"bytes"

	"bayhand/model/device"
)

// passOver passes over what stands in the place of an input and is none, such as two
// inputs on one output, where the output is known and the place where it ends can be
// told. It says whether it did.
func (r *reader) passOver(f device.Field, next []device.Field) bool {
	output := r.now.Output
	if output == 0 {
		output = r.asked
	}
	if !r.reads || output == 0 {
		return false
	}
	end := passEnd(r, f, next)
	if end <= r.at || end > len(r.in) {
		return false
	}
	r.now.Output, r.seen, r.unclear = output, true, readable(r.in[r.at:end])
	r.at = end
	return true
}

// passEnd is where a number that cannot be read ends: after its width, before the
// literal that follows it, or where the message ends. It is
// negative where that cannot be told.
func passEnd(r *reader, f device.Field, next []device.Field) int {
	if n := r.codec.widthOf(f); n > 0 {
		return r.at + n
	}
	if len(next) > 0 && next[0].Kind == device.Literal {
		if n := bytes.Index(r.in[r.at:], next[0].Bytes); n >= 0 {
			return r.at + n
		}
	}
	if len(next) == 0 && r.tail >= 0 {
		return r.end()
	}
	return -1
}

// pieceEnd is where a round between separators ends; negative for rounds without.
func (r *reader) pieceEnd(f device.Field, start, end int) int {
	if len(f.Separator) == 0 || start > end {
		return -1
	}
	if n := bytes.Index(r.in[start:end], f.Separator); n >= 0 {
		return start + n
	}
	return end
}
