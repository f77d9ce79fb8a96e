package border

import "time"

// Grant is the right to open a served line: one that several hosts reach over the
// network. Unlike a claim it ends by time, since a device can be read again by whoever
// takes it over, and a host that is gone drives nothing.
type Grant struct {
	Line string `json:"line"`
	Host string `json:"host"`
	// Epoch is greater for every newer grant of the line; 0 is no grant.
	Epoch uint64 `json:"epoch"`
	// Since is when it was given, by the clock of the host.
	Since time.Time `json:"since"`
}
