package scpi

import "strconv"

// systemCommands is the SYSTem subsystem as far as SCPI-1999 requires it (vol.
// 2, 21.8 and 21.21), with the queries of errors that it allows.
var systemCommands = map[string]*command{
	"SYSTem:ERRor[:NEXT]?":      query(func(s *Switcher) string { return s.errors.next().String() }),
	"SYSTem:ERRor:ALL?":         query(func(s *Switcher) string { return s.errors.all(fault.String) }),
	"SYSTem:ERRor:CODE[:NEXT]?": query(func(s *Switcher) string { return codeOnly(s.errors.next()) }),
	"SYSTem:ERRor:CODE:ALL?":    query(func(s *Switcher) string { return s.errors.all(codeOnly) }),
	"SYSTem:ERRor:COUNt?":       query(func(s *Switcher) string { return strconv.Itoa(len(s.errors.faults)) }),
	"SYSTem:VERSion?":           query(func(*Switcher) string { return "1999.0" }),
}
