// Package program hears and sends the numbers by which gear is told what to be: a
// Program Change, and the Bank Select before it (MIDI 1.0).
//
// A port is named as in a studio's file: the name of a MIDI port, or the address
// of a link, midi:NAME or rawmidi:PATH. What was sent nobody confirms: there is no
// answer to a Program Change.
//
// The package knows no session and no gear, and opens a port anew for each use.
package program

import (
	"fmt"

	"gitlab.com/gomidi/midi/v2"
)

// Program is what one Program Change says.
type Program struct {
	// Channel is 1 to 16.
	Channel int
	// Bank is 0 to 16383, 128 times controller 0 and controller 32; negative where
	// none is said.
	Bank int
	// Number is the one on the wire, 0 to 127.
	Number int
}

// NoBank is the Bank of a Program that goes without a Bank Select.
const NoBank = -1

func (p Program) String() string {
	if p.Bank > 0 {
		return fmt.Sprintf("program %d of bank %d on channel %d", p.Number, p.Bank, p.Channel)
	}
	return fmt.Sprintf("program %d on channel %d", p.Number, p.Channel)
}

// Bank Select, MIDI 1.0: controller 0 is the high part, controller 32 the low one,
// and nothing happens before the next Program Change.
const (
	bankHigh = 0
	bankLow  = 32
)

// Messages are those that say it, in their order.
func (p Program) Messages() [][]byte {
	channel := uint8(p.Channel - 1)
	var all [][]byte
	if p.Bank >= 0 {
		all = append(all, midi.ControlChange(channel, bankHigh, uint8(p.Bank>>7)&0x7F),
			midi.ControlChange(channel, bankLow, uint8(p.Bank&0x7F)))
	}
	return append(all, midi.ProgramChange(channel, uint8(p.Number)&0x7F))
}

// check says what of it cannot be.
func (p Program) check() error {
	switch {
	case p.Channel < 1 || p.Channel > 16:
		return fmt.Errorf("there is no MIDI channel %d; they are 1 to 16", p.Channel)
	case p.Bank > 16383:
		return fmt.Errorf("there is no bank %d; they are 0 to 16383", p.Bank)
	case p.Number < 0 || p.Number > 127:
		return fmt.Errorf("there is no program %d; they are 0 to 127", p.Number)
	}
	return nil
}

// banks remembers the bank that is selected on each channel: at first 0.
type banks struct {
	high, low [16]uint8
}

// take looks at a message, and is the Program that it asks for.
func (b *banks) take(message []byte) (Program, bool) {
	var channel, controller, value, number uint8
	switch m := midi.Message(message); {
	case m.GetControlChange(&channel, &controller, &value):
		switch controller {
		case bankHigh:
			b.high[channel] = value
		case bankLow:
			b.low[channel] = value
		}
	case m.GetProgramChange(&channel, &number):
		return Program{Channel: int(channel) + 1, Bank: int(b.high[channel])<<7 | int(b.low[channel]), Number: int(number)}, true
	case m.Is(midi.ResetMsg):
		*b = banks{} // as after switching on
	}
	return Program{}, false
}
