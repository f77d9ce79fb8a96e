package ports

import (
	"fmt"
	"io"
	"os"
	"sync"
	"time"
)

// thisMachine is macOS, by its CoreMIDI framework.
func thisMachine() (machine, bool) { return coreMIDI{}, loadCoreMIDI() == nil }

// coreMIDI is macOS.
type coreMIDI struct{}

// looksEvery is a second: what is sent to an endpoint that is gone is taken in
// silence.
func (coreMIDI) looksEvery() time.Duration { return time.Second }

func (coreMIDI) list() (ins, outs []endpoint, err error) {
	if _, err := coreClient(); err != nil {
		return nil, nil, err
	}
	return endpoints(midiGetNumberOfSources(), midiGetSource), endpoints(midiGetNumberOfDestinations(), midiGetDestination), nil
}

// endpoints are those that are there; the system goes on listing what was pulled,
// as offline.
func endpoints(n uint, get func(uint) uint32) (all []endpoint) {
	for i := range n {
		ref := get(i)
		if ref == 0 || property(ref, "offline") != 0 {
			continue
		}
		all = append(all, endpoint{name: displayName(ref), id: fmt.Sprint(property(ref, "uniqueID")), number: uint64(ref)})
	}
	return all
}

// coreIn is a source that is heard.
type coreIn struct {
	port   uint32
	number uintptr
}

// openSources are the receivers of what is heard, by the number that the system is
// given for each: there is one function for all, since no function is ever given
// back.
var openSources struct {
	mu   sync.Mutex
	last uintptr
	all  map[uintptr]*receiver
}

// hearSource is told of packets on a thread of the system's.
func hearSource(packets []byte, number uintptr) {
	openSources.mu.Lock()
	r := openSources.all[number]
	openSources.mu.Unlock()
	if r != nil {
		r.bytes(packets)
	}
}

func (coreMIDI) openIn(f endpoint, r *receiver) (io.Closer, error) {
	client, err := coreClient()
	if err != nil {
		return nil, err
	}
	openSources.mu.Lock()
	openSources.last++
	in := &coreIn{number: openSources.last}
	if openSources.all == nil {
		openSources.all = map[uintptr]*receiver{}
	}
	openSources.all[in.number] = r
	openSources.mu.Unlock()
	name := newString("bayhand in")
	defer cfRelease(name)
	if err := result("MIDIInputPortCreate", midiInputPortCreate(client, name, readProc(), in.number, &in.port)); err != nil {
		in.forget()
		return nil, err
	}
	if err := result("MIDIPortConnectSource", midiPortConnectSource(in.port, uint32(f.number), 0)); err != nil {
		_ = in.Close() // what it failed by counts
		return nil, err
	}
	return in, nil
}

func (in *coreIn) forget() {
	openSources.mu.Lock()
	defer openSources.mu.Unlock()
	delete(openSources.all, in.number)
}

// Close ends the connection with the port.
func (in *coreIn) Close() error {
	in.forget()
	return result("MIDIPortDispose", midiPortDispose(in.port))
}

// coreOut is a destination that is sent to.
type coreOut struct {
	port, to uint32
	name     string
}

func (coreMIDI) openOut(f endpoint) (sender, error) {
	client, err := coreClient()
	if err != nil {
		return nil, err
	}
	out := &coreOut{to: uint32(f.number), name: f.name}
	name := newString("bayhand out")
	defer cfRelease(name)
	if err := result("MIDIOutputPortCreate", midiOutputPortCreate(client, name, &out.port)); err != nil {
		return nil, err
	}
	return out, nil
}

func (out *coreOut) Close() error { return result("MIDIPortDispose", midiPortDispose(out.port)) }

// send hands a message on in packets of 256 bytes, as long as a MIDIPacket is
// declared to be; the system queues them.
func (out *coreOut) send(message []byte, deadline time.Time) error {
	for len(message) > 0 {
		if !deadline.IsZero() && time.Now().After(deadline) {
			return fmt.Errorf("%s: %d bytes were not taken in time: %w", out.name, len(message), os.ErrDeadlineExceeded)
		}
		n := min(len(message), packetLength)
		list := onePacket(message[:n])
		if err := result("MIDISend", midiSend(out.port, out.to, &list[0])); err != nil {
			return err
		}
		message = message[n:]
	}
	return nil
}
