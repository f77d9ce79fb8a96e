package sound

import "errors"

// What a sound device fails with.
var (
	// ErrLost is a device that was served too late: samples were lost.
	ErrLost = errors.New("the sound device lost samples: this machine did not serve it in time")
	// ErrNoInput is a device that gives or takes nothing for 0.2 s.
	ErrNoInput = errors.New("nothing came from the sound device for 0.2 s")
	// ErrGone is a device that was pulled or switched off.
	ErrGone = errors.New("the sound device is gone")
	// ErrBusy is a device that another program holds.
	ErrBusy = errors.New("another program uses the sound device")
	// ErrNoDevice is a device that is not there, or that this machine cannot reach.
	ErrNoDevice = errors.New("no such sound device can be reached from here")
	// ErrFormat is a device without the rate or the channels that are asked for.
	ErrFormat = errors.New("the sound device has no such format")
)
