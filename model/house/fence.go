package house

import (
	"slices"
	"strings"
)

// Fence is what keeps a second host from the line of a matrix. A device on a dumb line
// cannot tell hosts apart, so the last thing before the line that can refuse does it.
type Fence int

// The fences.
const (
	// FenceUnknown is a line of which it is not said what refuses.
	FenceUnknown Fence = iota
	// Cable is a line into one host: whoever holds the plug decides.
	Cable
	// OneClient is a server of a serial line that refuses a second client.
	OneClient
	// NewestClient is a server of a serial line that ends the old connection when a new
	// one comes.
	NewestClient
	// NoFence is a device that lets several in.
	NoFence
)

// FenceOf is the fence of a link, by its address.
func FenceOf(link string) Fence {
	kind, rest, _ := strings.Cut(link, ":")
	switch kind {
	case "serial", "midi", "rawmidi", "pty":
		return Cable
	case "tcp":
		return NoFence
	case "rfc2217":
		_, settings, _ := strings.Cut(rest, "?")
		for _, one := range strings.Split(settings, "&") {
			switch one {
			case "clients=one":
				return OneClient
			case "clients=newest":
				return NewestClient
			}
		}
	}
	return FenceUnknown
}

// Served are the matrices whose line several hosts can open, one at a time by a grant,
// sorted.
func (h House) Served() []string {
	var all []string
	for _, one := range h.Hosts {
		all = append(all, one.StandBy...)
	}
	slices.Sort(all)
	return slices.Compact(all)
}
