package ports

import (
	"errors"
	"fmt"
	"os"
	"time"

	"gitlab.com/gomidi/midi/v2/drivers"

	"bayhand/drivers/wire"
)

// rawIn is a raw device to hear.
type rawIn struct {
	rawPort
	listening bool
}

// Listen hears messages on a goroutine of its own until the function returned is
// called, which waits for it; that must not be done from within hear. When the
// device is pulled, OnErr is called with ErrGone, and nothing comes any more.
func (in *rawIn) Listen(hear func(message []byte, milliseconds int32), config drivers.ListenConfig) (stop func(), err error) {
	switch {
	case hear == nil:
		return nil, errors.New("nobody is named to hear what comes")
	case in.file == nil:
		return nil, drivers.ErrPortClosed
	case in.listening:
		return nil, fmt.Errorf("%s is listened to already", in.name)
	}
	if err := in.file.SetReadDeadline(time.Time{}); err != nil {
		return nil, err
	}
	in.listening = true
	file, ended := in.file, make(chan struct{})
	go func() {
		defer close(ended)
		listenTo(file, hear, config)
	}()
	return func() {
		_ = file.SetReadDeadline(time.Unix(1, 0)) // a file that is closed has ended already
		<-ended
		in.listening = false
	}, nil
}

func listenTo(file *os.File, hear func([]byte, int32), config drivers.ListenConfig) {
	began := time.Now()
	framer := wire.NewFramer()
	buffer := make([]byte, 4096)
	for {
		n, err := file.Read(buffer)
		for _, b := range buffer[:n] {
			for _, message := range messagesOf(framer, b) {
				if wanted(message, config) {
					hear(message, int32(time.Since(began).Milliseconds()))
				}
			}
		}
		if errors.Is(err, os.ErrDeadlineExceeded) || errors.Is(err, os.ErrClosed) {
			return // it was stopped
		}
		if err != nil {
			if config.OnErr != nil {
				config.OnErr(ended(err))
			}
			return
		}
	}
}

// messagesOf are the messages that a byte ends; a real-time byte is one by itself.
func messagesOf(framer *wire.Framer, b byte) [][]byte {
	if b >= wire.RealTime {
		return [][]byte{{b}}
	}
	messages, _ := framer.Feed([]byte{b}) // one without an end is not heard
	return messages
}

// MIDI 1.0: what a ListenConfig can leave out.
const (
	exclusiveStatus = 0xF0
	timeCodeStatus  = 0xF1
	clockStatus     = 0xF8
	sensingStatus   = 0xFE
)

// usualExclusive is the longest system exclusive that the interface says is heard
// where nothing else is asked for.
const usualExclusive = 1024

func wanted(message []byte, config drivers.ListenConfig) bool {
	switch message[0] {
	case exclusiveStatus:
		most := config.SysExBufferSize
		if most == 0 {
			most = usualExclusive
		}
		return config.SysEx && uint32(len(message)) <= most
	case timeCodeStatus, clockStatus:
		return config.TimeCode
	case sensingStatus:
		return config.ActiveSense
	}
	return true
}

// ended is what the operating system's words for a device that is no longer there
// mean; a deadline stays one.
func ended(err error) error {
	if errors.Is(err, os.ErrDeadlineExceeded) || errors.Is(err, os.ErrClosed) {
		return err
	}
	return fmt.Errorf("%w (%w)", ErrGone, err)
}
