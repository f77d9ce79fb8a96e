package answer

import (
	"errors"
	"maps"

	"bayhand/model/device"
	"bayhand/simulators/matrix"
)

// trouble is an error that the device holds until it is asked for.
type trouble struct {
	code    int
	message string
}

// Codes of this simulator's own; 0 is no error.
const (
	troubleNotUnderstood = 1 + iota
	troubleOutside
	troubleTooMany
	troubleRefused
	troubleUnwritten
)

var notUnderstood = trouble{troubleNotUnderstood, "message not understood"}

// maxTroubles bounds what is held; the oldest stay.
const maxTroubles = 16

func troubleOf(err error) trouble {
	switch {
	case errors.Is(err, matrix.ErrOutside):
		return trouble{troubleOutside, "outside the matrix"}
	case errors.Is(err, errTooMany):
		return trouble{troubleTooMany, "too many changes in one message"}
	}
	return trouble{troubleRefused, "refused"}
}

// with is the reply that tells of a trouble.
func (r reply) with(t trouble) reply {
	r.numbers = maps.Clone(r.numbers)
	r.numbers[codeValue] = t.code
	r.texts = map[string]string{messageValue: t.message}
	return r
}

// record holds an error, where the device can be asked for it.
func (d *Device) record(t trouble) {
	if _, asked := d.description.Exchange(device.Errors); asked && len(d.troubles) < maxTroubles {
		d.troubles = append(d.troubles, t)
	}
}

func (d *Device) nextTrouble() trouble {
	if len(d.troubles) == 0 {
		return trouble{0, "no error"}
	}
	t := d.troubles[0]
	d.troubles = d.troubles[1:]
	return t
}
