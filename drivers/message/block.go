package message

import (
	"fmt"
	"strconv"

	"bayhand/model/device"
)

// A definite-length arbitrary block is '#', one digit d from 1 to 9, d digits
// that count the bytes, then the bytes (IEEE 488.2, 7.7.6 and 8.7.9).

// mostBlock bounds the bytes of a block.
const mostBlock = MaxLine

func (w *writer) block(f device.Field, s scope) error {
	inner := writer{codec: w.codec, says: w.says, length: w.length, answers: w.answers}
	if err := inner.fields(f.Of, s); err != nil {
		return err
	}
	count := strconv.Itoa(inner.out.Len())
	fmt.Fprintf(&w.out, "#%d%s", len(count), count)
	w.out.Write(inner.out.Bytes())
	return nil
}

func (r *reader) block(f device.Field) error {
	if f.Bare && (r.at >= len(r.in) || r.in[r.at] != '#') {
		return r.fields(f.Of, r.tail)
	}
	header, count, complete, err := blockHeader(r.in[r.at:])
	if err != nil || !complete {
		return r.other("found %s where a block is due", show(r.in[r.at:]))
	}
	start := r.at + header
	if count > len(r.in)-start {
		return r.other("the block promises %d bytes and brings %d", count, len(r.in)-start)
	}
	inner := *r
	inner.in, inner.at = r.in[:start+count], start
	if err := inner.fields(f.Of, 0); err != nil {
		return err
	}
	if inner.at != len(inner.in) {
		return inner.other("%s follows inside the block", show(inner.in[inner.at:]))
	}
	whole := r.in
	*r = inner
	r.in = whole
	return nil
}

// blockHeader reads a block's header: its length, and the number of bytes after
// it. It is incomplete while digits are missing; the error is a header that
// cannot be one.
func blockHeader(p []byte) (header, count int, complete bool, err error) {
	if len(p) == 0 {
		return 0, 0, false, nil
	}
	if p[0] != '#' || len(p) > 1 && (p[1] < '1' || p[1] > '9') {
		return 0, 0, false, ErrOther
	}
	if len(p) == 1 {
		return 0, 0, false, nil
	}
	digits := int(p[1] - '0')
	for i := 2; i < min(2+digits, len(p)); i++ {
		if p[i] < '0' || p[i] > '9' {
			return 0, 0, false, ErrOther
		}
		count = 10*count + int(p[i]-'0')
	}
	if count > mostBlock {
		return 0, 0, false, ErrTooLong
	}
	return 2 + digits, count, len(p) >= 2+digits, nil
}
