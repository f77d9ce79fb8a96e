package listen

import "errors"

// Device is a sound device that plays and records at one rate, from one clock or
// from two.
//
// Exchange plays whole frames, channel after channel within each, full scale being
// 1, and fills heard with as many frames that were recorded meanwhile; it returns
// once the device has taken the one and given the other. What is heard is older than
// what is played by what the device buffers, at most a tenth of a second. What it
// fails with are the errors of package drivers/sound; afterwards nothing more is
// played.
//
// Stop lets what would be heard next fall to silence within 10 ms, discards the
// rest, and returns when the device is silent. It may be called after an error, and
// more than once. Close stops, and releases the device.
//
// One goroutine uses a device.
type Device interface {
	Exchange(played, heard []float32) error
	Stop() error
	Close() error
}

// Format is what a plan needs of a device: its rate in samples a second, and the
// channels of each direction.
type Format struct{ Rate, Outputs, Inputs int }

// Opener opens a device by its link, as the studio's file has it.
type Opener func(link string, f Format) (Device, error)

// Format is what the plan needs of its device.
func (l *Plan) Format() Format {
	outs, ins := l.Device.Sound.Outputs, l.Device.Sound.Inputs
	return Format{Rate: l.Rate(), Outputs: outs[len(outs)-1].Channel, Inputs: ins[len(ins)-1].Channel}
}

// ErrStopped is a measurement that somebody stopped.
var ErrStopped = errors.New("stopped before the room was heard")
