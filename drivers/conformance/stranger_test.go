package conformance_test

import (
	"errors"
	"io"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"bayhand/drivers/message"
	"bayhand/model/device"
	"bayhand/model/patch"
	"bayhand/model/studio"
	"bayhand/model/text"
)

// stranger is a device that is written for these tests from its manual alone, which is
// in the cookbook of the manual; it shares nothing with drivers and simulators. It keeps
// which inputs each of its four outputs listens to, one of four or none.
type stranger struct {
	// mu guards all of it: a hand turns the device while it talks.
	mu sync.Mutex
	// inputs has a bit for each input of an output, the lowest for input 1; outputs count
	// from 1.
	inputs [5]byte
	// hear takes a byte and gives what the device says to it.
	hear func(s *stranger, b byte) string
	// turned gives what the device says by itself when an output was turned; nil for
	// nothing.
	turned func(s *stranger, output int) string
	line   []byte
	// logged is true after the login of one that has it; woken is when one that sleeps
	// was woken, heard when it heard something last.
	logged       bool
	woken, heard time.Time
	// every how many answers it is busy, refuses, loses or spoils one; 0 for never.
	busy, refuse, lose, spoil, count int
	// met is how many of these troubles there were.
	met int
	// hands counts what was changed from elsewhere than the line.
	hands int
	hand  time.Time
	end   io.Writer
}

// in is the one input of an output; 0 for none.
func (s *stranger) in(output int) int {
	for i := 1; i < 5; i++ {
		if s.inputs[output]>>(i-1)&1 == 1 {
			return i
		}
	}
	return 0
}

// put lets an output listen to one input, or none for 0; false for what it has not.
func (s *stranger) put(output, input int) bool {
	if output < 1 || output > 4 || input < 0 || input > 4 {
		return false
	}
	s.inputs[output] = 0
	if input > 0 {
		s.inputs[output] = 1 << (input - 1)
	}
	return true
}

// relay closes or opens one relay; false for one that it has not.
func (s *stranger) relay(output, input int, closed bool) bool {
	if output < 1 || output > 4 || input < 1 || input > 4 {
		return false
	}
	s.inputs[output] &^= 1 << (input - 1)
	if closed {
		s.inputs[output] |= 1 << (input - 1)
	}
	return true
}

// trouble counts an answer and says which trouble the device has with it: busy, no, or
// none.
func (s *stranger) trouble() string {
	s.count++
	switch {
	case s.busy > 0 && s.count%s.busy == 0:
		s.met++
		return "busy"
	case s.refuse > 0 && s.count%s.refuse == 0:
		s.met++
		return "no"
	}
	return ""
}

// ended adds a byte to the line, and gives the line once its end came.
func (s *stranger) ended(b, end byte) (line string, ended bool) {
	if b != end {
		s.line = append(s.line, b)
		return "", false
	}
	line, s.line = string(s.line), nil
	return line, true
}

// kind is what a stranger is.
type kind struct {
	hear   func(*stranger, byte) string
	turned func(*stranger, int) string
	// relays may have several inputs on an output; deaf ones cannot be asked.
	relays, deaf bool
	// pairs move outputs in pairs.
	pairs bool
}

var kinds = map[string]kind{
	"wrapped": {hear: wrapped, relays: true}, "prompting": {hear: prompting}, "stuffed": {hear: stuffed},
	"bits": {hear: bits, relays: true}, "json": {hear: jsonDevice, turned: jsonTurned}, "sevens": {hear: sevens},
	"counted": {hear: counted}, "digits": {hear: digits}, "drowsy": {hear: drowsy},
	"twos": {hear: twos, pairs: true}, "wordy": {hear: wordy}, "stored": {hear: storedDevice}, "deaf": {hear: deaf, deaf: true},
}

// manuals are the descriptions by which the strangers are driven, by set and name: those of
// the cookbook, and those in testdata/integrator, which somebody wrote who had the
// manuals of the devices and the guide, and saw neither the cookbook nor the devices.
func manuals(t testing.TB) map[string]*device.Description {
	t.Helper()
	all := map[string]*device.Description{}
	for title, src := range sources(t) {
		d, _, problems := text.ReadDevice(title, []byte(src))
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		if err := message.Rehearse(d); err != nil || len(d.Transcripts) == 0 {
			t.Errorf("%s has %d transcripts: %v", title, len(d.Transcripts), err)
		}
		all[title] = d
	}
	if len(all) != 2*len(kinds) {
		t.Fatalf("%d are described, and %d devices are here", len(all), len(kinds))
	}
	return all
}

// kindOf is the stranger that a description is about.
func kindOf(title string) kind { return kinds[path.Base(title)] }

func sources(t testing.TB) map[string]string {
	t.Helper()
	page, err := os.ReadFile("../../cmd/bayhand/manual/cookbook.md")
	if err != nil {
		t.Fatal(err)
	}
	all := map[string]string{}
	for _, block := range strings.Split(string(page), "```yaml file=devices/")[1:] {
		name, rest, _ := strings.Cut(block, ".yaml\n")
		all["cookbook/"+name], _, _ = strings.Cut(rest, "```")
	}
	for name := range kinds {
		src, err := os.ReadFile(filepath.Join("testdata", "integrator", name+".yaml"))
		if err != nil {
			t.Fatal(err)
		}
		all["integrator/"+name] = string(src)
	}
	return all
}

// talk is the device's end of a cable until it is pulled. Answers are lost and spoilt as
// the trouble says.
func (s *stranger) talk(c *cable) {
	end, buffer := deviceEnd{c}, make([]byte, 64)
	s.mu.Lock()
	s.end = end
	s.mu.Unlock()
	for answers := 0; ; {
		n, err := end.Read(buffer)
		for _, b := range buffer[:n] {
			s.mu.Lock()
			said := []byte(s.hear(s, b))
			s.heard = time.Now()
			if len(said) > 0 {
				answers++
				said = s.troubled(said, answers)
			}
			s.mu.Unlock()
			if len(said) == 0 {
				continue
			}
			if _, err := end.Write(said); err != nil {
				return
			}
		}
		if err != nil {
			if !errors.Is(err, io.EOF) {
				panic(err)
			}
			return
		}
	}
}

// troubled is an answer that is lost or spoilt as the trouble says.
func (s *stranger) troubled(said []byte, answer int) []byte {
	switch {
	case s.lose > 0 && answer%s.lose == 0:
		s.met++
		return nil
	case s.spoil > 0 && answer%s.spoil == 0:
		s.met++
		// Another bit each time, of those in which numbers differ: noise that is always
		// the same cannot be told from an answer.
		said[len(said)/2] ^= 1 << (s.met % 3)
	}
	return said
}

// turn is a hand at the front: an output listens to something else, at relays to
// several inputs at times.
func (s *stranger) turn(output int, inputs byte) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.inputs[output] = inputs
	s.hands, s.hand = s.hands+1, time.Now()
	if s.turned != nil && s.end != nil {
		_, _ = io.WriteString(s.end, s.turned(s, output)) // nobody may be there
	}
}

// powerLost is a device that begins anew with nothing closed.
func (s *stranger) powerLost() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.inputs, s.logged, s.line, s.woken, s.end = [5]byte{}, false, nil, time.Time{}, nil
	s.hands, s.hand = s.hands+1, time.Now()
}

// lastHand is when it was changed last from elsewhere than the line.
func (s *stranger) lastHand() time.Time {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.hand
}

func (s *stranger) holds() []patch.Crosspoint {
	s.mu.Lock()
	defer s.mu.Unlock()
	list := []patch.Crosspoint{}
	g := studio.Matrix{Name: "grid"}
	for o := 1; o < 5; o++ {
		for i := 1; i < 5; i++ {
			if s.inputs[o]>>(i-1)&1 == 1 {
				list = append(list, patch.Crosspoint{Output: g.Out(o), Input: g.In(i)})
			}
		}
	}
	slices.SortFunc(list, patch.Crosspoint.Compare)
	return list
}
