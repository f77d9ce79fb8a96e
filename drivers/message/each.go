package message

import (
	"fmt"
	"strings"

	"bayhand/model/device"
)

// each reads the rounds of an Each, as many as the matrix has outputs or as
// stand there.
func (r *reader) each(f device.Field) error {
	if f.Over == device.Outputs {
		return r.everyOutput(f)
	}
	end := r.end()
	for round := 1; ; round++ {
		start := r.at
		err := r.round(f, round, end)
		switch {
		case err == nil:
			continue
		case isValue(err):
			return err
		case round > 1 && len(f.Separator) > 0 && r.at > start:
			return err // a separator promises another round
		}
		r.at, r.now, r.seen = start, Crosspoint{}, false
		return nil
	}
}

// everyOutput reads one round for each output. A device that sends fewer or
// more is not of the size that it was said to have.
func (r *reader) everyOutput(f device.Field) error {
	end := r.end()
	for output := 1; output <= r.codec.outputs; output++ {
		if err := r.outputRound(f, output, end); err != nil {
			if isValue(err) {
				return err
			}
			return fmt.Errorf("%w: output %d of %d cannot be read, %s", ErrValue, output, r.codec.outputs, strings.TrimPrefix(err.Error(), ErrOther.Error()+": "))
		}
	}
	ahead := *r
	if ahead.literal(f.Separator) == nil && ahead.inner(f, end) == nil {
		return fmt.Errorf("%w: more outputs than the %d that the matrix was said to have", ErrValue, r.codec.outputs)
	}
	return nil
}

func (r *reader) outputRound(f device.Field, output, end int) error {
	r.now, r.seen = Crosspoint{Output: output}, true
	if err := r.start(f, output, end); err != nil {
		return err
	}
	if r.now.Output != output {
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
	return r.inner(f, end)
}

func (r *reader) inner(f device.Field, end int) error {
	if r.at >= end {
		return r.other("the message ends here")
	}
	if err := r.fields(f.Of, -1); err != nil {
		return err
	}
	if r.at > end {
		return r.other("the message ends within a round")
	}
	return nil
}
