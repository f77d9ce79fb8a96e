package matrix

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// Faults are what a simulated matrix does wrong on request. The zero Faults
// is a sound device.
type Faults struct {
	// Lose: every Lose-th answer never leaves the device; 0 for none, 1 for all.
	Lose int
	// Garble: every Garble-th answer leaves with its bytes spoilt.
	Garble int
	// Refuse: every Refuse-th change that a message asks for is refused.
	Refuse int
	// Busy: every Busy-th change that a message asks for is not made, for now; a
	// device that has a word for busy says it.
	Busy int
	// Wait: every Wait-th answer of a device that can ask for patience comes after
	// word that it will take long.
	Wait int
	// Split: every Split-th change moves the outputs that it names without the others
	// of their gangs.
	Split int
	// Delay is waited before each answer.
	Delay time.Duration
	// Dead: after so many received bytes it says and does nothing any more.
	Dead int
	// Reboot: at the Reboot-th message it restarts instead of answering, once;
	// its crosspoints are lost, and a network connection with them.
	Reboot int
	// Stuck crosspoints never close; Welded ones never open.
	Stuck, Welded []Crosspoint
}

// FaultHelp has a line for each fault that ParseFaults reads.
const FaultHelp = `lose=N            every Nth answer is lost
garble=N          every Nth answer is spoilt
refuse[=N]        every Nth change is refused; without N every one
busy[=N]          every Nth change is not made for now; without N every one
wait[=N]          every Nth answer is announced as one that takes long
split=N           every Nth change moves one output of its gang alone
delay=200ms       each answer comes that much later
dead=N            after N received bytes it is silent for good
reboot=N          at the Nth message it restarts, once, and all is open
stuck=out3:in5    this crosspoint never closes
welded=out3:in5   this crosspoint never opens`

// ParseFaults reads faults as the command line has them, such as lose=3 or
// delay=200ms. FaultHelp lists them.
func ParseFaults(items []string) (Faults, error) {
	var f Faults
	for _, item := range items {
		if err := f.add(item); err != nil {
			return Faults{}, err
		}
	}
	return f, nil
}

// maxDelay is more than any driver waits.
const maxDelay = time.Hour

func (f *Faults) add(item string) error {
	word, value, given := strings.Cut(item, "=")
	switch word {
	case "lose":
		return count(item, value, &f.Lose)
	case "garble":
		return count(item, value, &f.Garble)
	case "refuse":
		if !given {
			f.Refuse = 1
			return nil
		}
		return count(item, value, &f.Refuse)
	case "split":
		return count(item, value, &f.Split)
	case "dead":
		return count(item, value, &f.Dead)
	case "reboot":
		return count(item, value, &f.Reboot)
	case "busy":
		if !given {
			f.Busy = 1
			return nil
		}
		return count(item, value, &f.Busy)
	case "wait":
		if !given {
			f.Wait = 1
			return nil
		}
		return count(item, value, &f.Wait)
	case "delay":
		d, err := time.ParseDuration(value)
		if err != nil || d <= 0 || d > maxDelay {
			return fmt.Errorf("fault %q: %q is not a time of up to an hour; write one such as 200ms or 2s", item, value)
		}
		f.Delay = d
		return nil
	case "stuck":
		return spot(item, value, &f.Stuck)
	case "welded":
		return spot(item, value, &f.Welded)
	}
	return fmt.Errorf("fault %q is not known; the faults are:\n%s", item, FaultHelp)
}

func count(item, value string, into *int) error {
	n, err := strconv.Atoi(value)
	if err != nil || n < 1 || n > 1<<30 {
		return fmt.Errorf("fault %q: %q is not a whole number from 1; write one such as %s=3", item, value, strings.SplitN(item, "=", 2)[0])
	}
	*into = n
	return nil
}

func spot(item, value string, into *[]Crosspoint) error {
	c, err := ParseCrosspoint(value)
	if err != nil {
		return fmt.Errorf("fault %q: %w", item, err)
	}
	*into = append(*into, c)
	return nil
}

// ParseCrosspoint reads what Crosspoint.String wrote, such as out3:in5.
func ParseCrosspoint(text string) (Crosspoint, error) {
	out, in, _ := strings.Cut(text, ":")
	o, okOut := port(out, "out")
	i, okIn := port(in, "in")
	if !okOut || !okIn {
		return Crosspoint{}, fmt.Errorf("%q is not a crosspoint; write an output and an input, such as out3:in5", text)
	}
	return Crosspoint{Output(o), Input(i)}, nil
}

func port(text, stem string) (int, bool) {
	digits, ok := strings.CutPrefix(text, stem)
	n, err := strconv.Atoi(digits)
	// Atoi reads +3 and 03 as well; only the form that is printed is legal.
	return n, ok && err == nil && n >= 1 && n <= MaxSize && strconv.Itoa(n) == digits
}
