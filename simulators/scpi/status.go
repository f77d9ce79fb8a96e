package scpi

import "strconv"

// Bits of the standard event status register (IEEE 488.2, 11.5.1).
const (
	eventComplete  byte = 1 << 0
	eventQuery     byte = 1 << 2
	eventDevice    byte = 1 << 3
	eventExecution byte = 1 << 4
	eventCommand   byte = 1 << 5
	eventPowerOn   byte = 1 << 7
)

// Bits of the status byte (IEEE 488.2, 11.2; SCPI-1999, vol. 2, 20).
const (
	statusErrors       byte = 1 << 2
	statusQuestionable byte = 1 << 3
	statusMessage      byte = 1 << 4
	statusEvent        byte = 1 << 5
	statusSummary      byte = 1 << 6
	statusOperation    byte = 1 << 7
)

// registers is the status structure. No condition of this device ever comes
// up, so OPERation and QUEStionable have enable registers only.
type registers struct {
	event, eventEnable, serviceEnable byte
	operationEnable, questionEnable   int
}

// statusByte puts the status byte together; answers says whether some of this
// message wait in the output queue.
func (s *Switcher) statusByte(answers bool) byte {
	var b byte
	if len(s.errors.faults) > 0 {
		b |= statusErrors
	}
	if answers {
		b |= statusMessage
	}
	if s.status.event&s.status.eventEnable != 0 {
		b |= statusEvent
	}
	if b&s.status.serviceEnable&^statusSummary != 0 {
		b |= statusSummary
	}
	return b
}

// maxWord is the largest value of a 16-bit status register, whose highest bit
// is not used (SCPI-1999, vol. 1, 5.2 and vol. 2, 20).
const (
	maxWord  = 1<<16 - 1
	usedBits = 1<<15 - 1
)

// statusCommands is the STATus subsystem as far as SCPI-1999 requires it (vol.
// 1, 4.2.1).
var statusCommands = map[string]*command{
	"STATus:OPERation[:EVENt]?":      query(zero),
	"STATus:OPERation:CONDition?":    query(zero),
	"STATus:OPERation:ENABle":        register(maxWord, func(s *Switcher, v int) { s.status.operationEnable = v & usedBits }),
	"STATus:OPERation:ENABle?":       query(func(s *Switcher) string { return strconv.Itoa(s.status.operationEnable) }),
	"STATus:QUEStionable[:EVENt]?":   query(zero),
	"STATus:QUEStionable:CONDition?": query(zero),
	"STATus:QUEStionable:ENABle":     register(maxWord, func(s *Switcher, v int) { s.status.questionEnable = v & usedBits }),
	"STATus:QUEStionable:ENABle?":    query(func(s *Switcher) string { return strconv.Itoa(s.status.questionEnable) }),
	"STATus:PRESet": event(func(s *Switcher) error {
		s.status.operationEnable, s.status.questionEnable = 0, 0
		return nil
	}),
}

func zero(*Switcher) string { return "0" }
