//go:build cgo && (rtmidi || darwin || windows)

package ports

import (
	"fmt"
	"time"

	"gitlab.com/gomidi/midi/v2/drivers"
	_ "gitlab.com/gomidi/midi/v2/drivers/rtmididrv" // enters itself in the register
	"gitlab.com/gomidi/midi/v2/drivers/rtmididrv/imported/rtmidi"
)

// systemListen sets the callback itself: the wrapper's own goes through a buffer
// of a fixed size, and a system exclusive that is longer, which the far end
// decides, ends the program on a goroutine where nobody can recover.
func systemListen(in drivers.In, hear func([]byte, int32), config drivers.ListenConfig) (stop func(), err error) {
	port, ok := in.Underlying().(rtmidi.MIDIIn)
	if !ok || !in.IsOpen() {
		return nil, fmt.Errorf("%s: %w", clean(in.String()), drivers.ErrPortClosed)
	}
	if err := port.IgnoreTypes(!config.SysEx, !config.TimeCode, !config.ActiveSense); err != nil {
		return nil, err
	}
	began := time.Now()
	err = port.SetCallback(func(_ rtmidi.MIDIIn, message []byte, _ float64) {
		if len(message) > 0 && wanted(message, config) {
			hear(message, int32(time.Since(began).Milliseconds()))
		}
	})
	if err != nil {
		return nil, err
	}
	return func() { _ = port.CancelCallback() }, nil // of a port that is gone nothing comes anyway
}
