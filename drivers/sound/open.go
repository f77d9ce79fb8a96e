package sound

import (
	"fmt"
	"time"
)

// Want is what is needed of a device: its rate in samples a second, and how many
// channels of each direction. A device that has more plays silence on the others.
type Want struct {
	Rate, Outputs, Inputs int
	// Buffer is the longest that sound may go on by itself, were this process killed;
	// 0 for a tenth of a second.
	Buffer time.Duration
	// Patience is how long a sound server may give nothing; 0 for a fifth of a second.
	Patience time.Duration
}

func (w Want) patience() time.Duration {
	if w.Patience == 0 {
		return answersWithin
	}
	return w.Patience
}

// buffer is how many frames may be ahead of what is heard.
func (w Want) buffer() int {
	longest := w.Buffer
	if longest == 0 {
		longest = 100 * time.Millisecond
	}
	return int(longest.Seconds() * float64(w.Rate))
}

// Device is a sound device that is open for both directions.
//
// Exchange plays whole frames and gives as many that were recorded meanwhile, full
// scale being 1; what is heard is older than what is played by what is buffered, at
// most a tenth of a second. Stop lets what would be heard next fall to silence within
// 10 ms and discards the rest; Close stops and releases. Errors are those of this
// package. One goroutine uses a device.
type Device interface {
	Exchange(played, heard []float32) error
	Stop() error
	Close() error
}

// Open opens the device of a link. ErrNoDevice is one that is not there or cannot be
// reached from this system, ErrBusy one that another program holds, ErrFormat one
// without the rate or the channels.
func Open(link string, w Want) (Device, error) {
	a, err := Parse(link)
	if err != nil {
		return nil, err
	}
	switch a.Kind {
	case ALSA:
		return openALSA(machineRoot, a, w)
	case Pulse:
		return openPulse(a, w)
	case Files, KindUnknown:
	}
	return nil, fmt.Errorf("%w: the studio's file says files: write the test sound with --write test.wav, play it while another program records the inputs, and read that with --read recorded.wav", ErrNoDevice)
}

// answersWithin is how long a device may give or take nothing.
const answersWithin = 200 * time.Millisecond

// machineRoot is the folder below which all of the machine's files lie.
const machineRoot = "/"

// Found is a sound device of this machine.
type Found struct {
	// Address opens it, as a studio's file has it.
	Address string `json:"address"`
	// Label is what the machine calls it; may be empty.
	Label string `json:"label"`
	// Steady is a link that survives replugging into another socket; empty where the
	// device has none.
	Steady string `json:"steady"`
}

// List names the sound devices of this machine that play and record. It opens none
// of them.
func List() ([]Found, error) { return listALSA(machineRoot) }
