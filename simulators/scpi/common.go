package scpi

import "strconv"

// maxByte is the largest value of an 8-bit register.
const maxByte = 1<<8 - 1

// commonCommands are those that every device of SCPI-1999 has (IEEE 488.2, 10).
var commonCommands = map[string]*command{
	// 10.14: at most 72 characters in four fields.
	"*IDN?": query((*Switcher).Identity),
	// 10.32: it leaves the status registers, their enables and the error queue
	// alone; every channel opens (SCPI-1999, vol. 2, 15).
	"*RST": event((*Switcher).openAll),
	// 10.3: it clears events and errors and leaves the enables alone.
	"*CLS":  event(func(s *Switcher) error { s.status.event = 0; s.errors.clear(); return nil }),
	"*ESE":  register(maxByte, func(s *Switcher, v int) { s.status.eventEnable = byte(v) }),
	"*ESE?": query(func(s *Switcher) string { return strconv.Itoa(int(s.status.eventEnable)) }),
	// 10.12: reading it clears it.
	"*ESR?": query(func(s *Switcher) string {
		event := s.status.event
		s.status.event = 0
		return strconv.Itoa(int(event))
	}),
	// Nothing here is still going on when the next unit is looked at.
	"*OPC":  event(func(s *Switcher) error { s.status.event |= eventComplete; return nil }),
	"*OPC?": query(func(*Switcher) string { return "1" }),
	// 10.34: bit 6, the summary itself, can't be enabled.
	"*SRE":  register(maxByte, func(s *Switcher, v int) { s.status.serviceEnable = byte(v) &^ statusSummary }),
	"*SRE?": query(func(s *Switcher) string { return strconv.Itoa(int(s.status.serviceEnable)) }),
	"*STB?": query(func(s *Switcher) string { return strconv.Itoa(int(s.statusByte(len(s.answers) > 0))) }),
	"*TST?": query(zero), // 10.38: 0 is passed
	"*WAI":  event(func(*Switcher) error { return nil }),
}
