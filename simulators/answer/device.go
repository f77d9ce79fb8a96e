package answer

import (
	"errors"
	"fmt"
	"slices"

	"bayhand/model/device"
	"bayhand/simulators/matrix"
)

// Device is the simulated device. It has one owner: its methods are not safe
// for concurrent use. The matrix behind it is, and may be turned by others.
type Device struct {
	description *device.Description
	settings    settings
	matrix      *matrix.Matrix
	stream      stream
	// pending holds MIDI messages that may be the beginning of one exchange.
	pending  [][]byte
	troubles []trouble
	messages int
	opening  opening
	// recent are the last bytes, for those that wake it; awake is true after them.
	recent []byte
	awake  bool
}

// stream cuts received bytes into messages.
type stream interface {
	add(b byte) (message []byte)
	clear()
}

// New makes a device of that description in front of a matrix. Parameters
// that are not given take their defaults. It refuses a description whose
// numbers can't hold what this matrix needs.
func New(m *matrix.Matrix, d *device.Description, parameters map[string]string) (*Device, error) {
	s, err := newSettings(d, parameters)
	if err != nil {
		return nil, err
	}
	dev := &Device{description: d, settings: s, matrix: m}
	switch d.Frame.Kind {
	case device.MIDIMessages:
		dev.stream = &midi{}
	case device.Lines:
		if len(d.Frame.End) == 0 {
			return nil, errors.New("its lines have no end; say what closes one, such as a line feed")
		}
		dev.stream = dev.requests()
	case device.Counted:
		if len(d.Frame.Start) == 0 {
			return nil, errors.New("nothing opens its messages; say which bytes do")
		}
		dev.stream = &counted{frame: d.Frame}
	case device.Delimited:
		if len(d.Frame.Start) == 0 || len(d.Frame.End) == 0 {
			return nil, errors.New("nothing opens its messages, or nothing closes them; say which bytes do")
		}
		dev.stream = &delimited{frame: d.Frame}
	case device.FrameUnknown:
		return nil, errors.New("how its bytes fall into messages is not said; a frame is lines, midi, or a start and a length")
	}
	if err := dev.check(); err != nil {
		return nil, err
	}
	return dev, dev.understands()
}

// requests cuts what a device of lines is sent: at what ends a request, or where
// nothing does, after each message that is whole.
func (d *Device) requests() stream {
	if len(d.description.Frame.Requests) == 0 {
		return &unended{whole: func(message []byte) (whole, begins bool) {
			_, whole, begins = d.fit(message)
			return whole, begins
		}}
	}
	return &lines{end: d.description.Frame.Requests, blocks: takesBlocks(d.description)}
}

func takesBlocks(d *device.Description) bool {
	return slices.ContainsFunc(d.Exchanges, func(e device.Exchange) bool {
		return slices.ContainsFunc(e.Send, func(f device.Field) bool { return f.Kind == device.Block })
	})
}

// Messages counts the messages received since it was made.
func (d *Device) Messages() int { return d.messages }

// Clear forgets a message that has not ended, as when a link breaks.
func (d *Device) Clear() {
	d.stream.clear()
	d.pending = nil
	d.opening = opening{}
	d.recent, d.awake = nil, false
}

// Restart is what losing power does.
func (d *Device) Restart() {
	d.matrix.Restart()
	d.troubles = nil
	d.Clear()
}

// Identity is what it says of itself: over MIDI family 1, member 2 and a
// version, each with its low byte first (MIDI 1.0, Device Inquiry).
func (d *Device) Identity() string {
	if d.description.Frame.Kind == device.MIDIMessages {
		return "\x01\x00\x02\x00\x00\x01\x00\x00"
	}
	outputs, inputs := d.matrix.Size()
	return fmt.Sprintf("bayhand simulated %s %dx%d", d.matrix.Kind(), inputs, outputs)
}

// everyOutput is each output in order with the input it listens to.
func (d *Device) everyOutput() []matrix.Crosspoint {
	outputs, _ := d.matrix.Size()
	list := make([]matrix.Crosspoint, outputs)
	for i := range list {
		o := matrix.Output(i + 1)
		list[i] = matrix.Crosspoint{Output: o, Input: d.matrix.Listens(o)}
	}
	return list
}

// everyInput is each input in order, for one output.
func (d *Device) everyInput(o matrix.Output) []matrix.Crosspoint {
	_, inputs := d.matrix.Size()
	list := make([]matrix.Crosspoint, inputs)
	for i := range list {
		list[i] = matrix.Crosspoint{Output: o, Input: matrix.Input(i + 1)}
	}
	return list
}
