package message

import (
	"bytes"
	"fmt"
	"maps"
	"strings"

	"bayhand/model/device"
)

// each reads the rounds of an Each, as many as the matrix has outputs or as
// stand there.
func (r *reader) each(f device.Field) error {
	switch f.Over {
	case device.Outputs:
		return everyOutput(r, f, 1)
	case device.EachGang:
		r.ganged = true
		return everyOutput(r, f, r.codec.description.Gangs.Of)
	case device.Inputs:
		return everyInput(r, f)
	case device.Changes, device.OverUnknown:
	}
	// In a list of any length a round that is spoilt may have been several.
	defer func(reads bool) { r.reads = reads }(r.reads)
	r.reads = false
	end := r.end()
	if len(f.None) > 0 && bytes.HasPrefix(r.in[r.at:], f.None) {
		r.at += len(f.None)
		return nil
	}
	for round := 1; ; round++ {
		start := r.at
		err := r.round(f, round, end)
		switch {
		case err == nil && r.at > start:
			continue
		case err == nil:
			return nil // a round of nothing, after which come as many as one likes
		case isValue(err):
			return err
		case round > 1 && len(f.Separator) > 0 && r.at > start:
			return err // a separator promises another round
		}
		r.at, r.now, r.seen, r.pieces, r.unclear = start, Crosspoint{}, false, nil, ""
		if round == 1 && len(f.None) > 0 {
			return r.other("found %s where %s is due", show(r.in[start:]), show(f.None))
		}
		return nil
	}
}

// everyOutput reads one round for each output, or for every so manyth of them. A device that sends fewer or
// more is not of the size that it was said to have.
func everyOutput(r *reader, f device.Field, step int) error {
	end := r.end()
	for output := 1; output <= r.codec.outputs; output += step {
		if err := outputRound(r, f, output, end); err != nil {
			if isValue(err) {
				return err
			}
			return fmt.Errorf("%w: output %d of %d cannot be read, %s", ErrValue, output, r.codec.outputs, strings.TrimPrefix(err.Error(), ErrOther.Error()+": "))
		}
	}
	return noMore(r, f, end, f.Over.String(), r.codec.outputs/step)
}

// noMore says that no further round stands there.
func noMore(r *reader, f device.Field, end int, side string, have int) error {
	ahead := *r
	ahead.pieces = maps.Clone(r.pieces)
	if ahead.literal(f.Separator) == nil && inner(&ahead, f, end) == nil {
		return fmt.Errorf("%w: more %s than the %d that the matrix was said to have", ErrValue, side, have)
	}
	return nil
}

// everyInput reads one round for each input of the output that was asked for,
// and takes those that are closed.
func everyInput(r *reader, f device.Field) error {
	if r.seen {
		if err := r.about(r.now.Output); err != nil {
			return err
		}
	}
	end := r.end()
	for input := 1; input <= r.codec.inputs; input++ {
		r.now, r.seen = Crosspoint{Output: r.asked, Input: input}, false
		if err := r.start(f, input, end); err != nil {
			if isValue(err) {
				return err
			}
			return fmt.Errorf("%w: input %d of %d cannot be read, %s", ErrValue, input, r.codec.inputs, strings.TrimPrefix(err.Error(), ErrOther.Error()+": "))
		}
		if r.asked == 0 {
			r.seen = false // its crosspoints are those of a bitmap
		}
		if r.now.Input != input {
			return fmt.Errorf("%w: input %d stands in the place of input %d", ErrValue, r.now.Input, input)
		}
		if err := r.commit(); err != nil {
			return err
		}
	}
	return noMore(r, f, end, "inputs", r.codec.inputs)
}

func outputRound(r *reader, f device.Field, output, end int) error {
	r.now, r.seen = Crosspoint{Output: output}, true
	if err := r.start(f, output, end); err != nil {
		return err
	}
	if r.now.Output != output && r.unclear == "" {
		return fmt.Errorf("%w: output %d stands in the place of output %d", ErrValue, r.now.Output, output)
	}
	return r.commit()
}

func (r *reader) round(f device.Field, round, end int) error {
	if err := r.start(f, round, end); err != nil {
		return err
	}
	return r.commit()
}

// start reads the separator, where one is due, and the fields of a round.
func (r *reader) start(f device.Field, round, end int) error {
	if round > 1 {
		if err := r.literal(f.Separator); err != nil {
			return err
		}
	}
	return inner(r, f, end)
}

func inner(r *reader, f device.Field, end int) error {
	if r.at >= end {
		return r.other("the message ends here")
	}
	start := r.at
	err := r.fields(f.Of, -1)
	if stop := r.pieceEnd(f, start, end); r.reads && r.now.Output > 0 && stop > start && (err != nil || r.at != stop) {
		r.at, r.seen, r.unclear = stop, true, readable(r.in[start:stop])
		return nil
	}
	if err != nil {
		return err
	}
	if r.at > end {
		return r.other("the message ends within a round")
	}
	return nil
}
