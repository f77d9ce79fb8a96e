package conformance_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"bayhand/drivers/matrix"
	"bayhand/model/device"
	"bayhand/model/patch"
	"bayhand/model/studio"
	"bayhand/model/text"
)

// stranger is a device that is written for this test from its manual alone, which is
// the comment above it; it shares nothing with drivers and simulators. It keeps which
// input each output listens to, 0 for none, and is 1 to 4 inputs and outputs large.
type stranger struct {
	// mu guards all of it: a hand turns the device while it talks.
	mu     sync.Mutex
	inputs [5]int
	// hear takes a byte and gives what the device says to it.
	hear func(s *stranger, b byte) string
	line []byte
	// logged is true after the login of one that has it.
	logged bool
	// every how many answers it is busy, refuses, loses or spoils one; 0 for never.
	busy, refuse, lose, spoil, count int
}

// trouble says whether the device has this trouble with the answer that is due.
func (s *stranger) trouble(every int) bool { return every > 0 && s.count%every == 0 }

// The wrapped relays: C o,i and O o,i CR; LIST CR. It answers between two empty lines,
// OK or what is wrong, ERR BUSY among them; LIST brings CLOSED and all pairs, or NONE.
func wrapped(s *stranger, b byte) string {
	if b != '\r' {
		s.line = append(s.line, b)
		return ""
	}
	said := s.relays(string(s.line))
	s.line = nil
	return "\r\n" + said + "\r\n\r\n"
}

func (s *stranger) relays(line string) string {
	var o, i int
	s.count++
	switch {
	case line == "LIST":
		var pairs []string
		for o, i := range s.inputs {
			if i > 0 {
				pairs = append(pairs, fmt.Sprintf("%d,%d", o, i))
			}
		}
		if len(pairs) == 0 {
			return "CLOSED NONE"
		}
		return "CLOSED " + strings.Join(pairs, " ")
	case s.trouble(s.busy):
		return "ERR BUSY"
	case s.trouble(s.refuse):
		return "ERR 5"
	}
	if n, _ := fmt.Sscanf(line, "C %d,%d", &o, &i); n == 2 && o > 0 && o < 5 {
		s.inputs[o] = i
		return "OK"
	}
	if n, _ := fmt.Sscanf(line, "O %d,%d", &o, &i); n == 2 && o > 0 && o < 5 {
		if s.inputs[o] == i {
			s.inputs[o] = 0
		}
		return "OK"
	}
	return "ERR 1"
}

const wrappedManual = `
device: wrapped
links: [serial]
size: {inputs: 4, outputs: 4}
switching: by-crosspoint
frame: {lines: "\r\n", requests: "\r"}
messages:
  close: {send: ["C ", {number: output, base: decimal}, ",", {number: input, base: decimal}, "\r"], answer: ["OK\r\n"], refusal: ["ERR ", {text: message}, "\r\n"], busy: ["ERR BUSY\r\n"]}
  open: {send: ["O ", {number: output, base: decimal}, ",", {number: input, base: decimal}, "\r"], answer: ["OK\r\n"], refusal: ["ERR ", {text: message}, "\r\n"], busy: ["ERR BUSY\r\n"]}
  read: {send: ["LIST\r"], answer: ["CLOSED ", {each: changes, separator: " ", none: NONE, of: [{number: output, base: decimal}, ",", {number: input, base: decimal}]}, "\r\n"]}
pacing: {timeout: 200 ms, retries: 2}
`

// The terminal: it asks for a name and a word when CR comes, and says "> " when it is
// ready. PUT oo ii CR in columns of three, --- for none; SHOW CR lists all outputs, a
// line each, and DONE.
func terminal(s *stranger, b byte) string {
	if b != '\r' {
		s.line = append(s.line, b)
		return ""
	}
	line := string(s.line)
	s.line = nil
	switch {
	case s.logged:
		return s.shell(line) + "> "
	case line == "heron":
		s.logged = true
		return "\r\nWelcome\r\n> "
	}
	return "\r\nword: "
}

func (s *stranger) shell(line string) string {
	s.count++
	if line == "SHOW" {
		var b strings.Builder
		for o := 1; o < 5; o++ {
			in := "---"
			if s.inputs[o] > 0 {
				in = fmt.Sprintf("%3d", s.inputs[o])
			}
			fmt.Fprintf(&b, "OUT%3d:%s\r\n", o, in)
		}
		return b.String() + "DONE\r\n"
	}
	var o, i int
	switch {
	case s.trouble(s.busy):
		return "NOT NOW\r\n"
	case s.trouble(s.refuse), !strings.HasPrefix(line, "PUT"), len(line) != 9:
		return "NO: x\r\n"
	}
	if _, err := fmt.Sscanf(line[3:6], "%d", &o); err != nil || o < 1 || o > 4 {
		return "NO: output\r\n"
	}
	if line[6:] != "---" {
		if _, err := fmt.Sscanf(line[6:], "%d", &i); err != nil {
			return "NO: input\r\n"
		}
	}
	s.inputs[o] = i
	return "YES\r\n"
}

const terminalManual = `
device: terminal
links: [serial]
size: {inputs: 4, outputs: 4}
switching: by-output
frame: {lines: "\r\n", prompt: "> ", requests: "\r"}
parameters: {word: {secret: true, help: its login}}
opening:
  - send: ["\r"]
  - expect: "word: "
  - send: [{text: word}, "\r"]
  - {expect: "> ", refused: "word: "}
messages:
  set: {send: ["PUT", {number: output, base: decimal, width: 3, pad: " "}, {number: input, base: decimal, width: 3, pad: " ", off: "---"}, "\r"], answer: ["YES\r\n"], refusal: ["NO: ", {text: message}, "\r\n"], busy: ["NOT NOW\r\n"]}
  read: {send: ["SHOW\r"], answer: ["OUT", {number: output, base: decimal, width: 3, pad: " "}, ":", {number: input, base: decimal, width: 3, pad: " ", off: "---"}, "\r\n"], end: ["DONE\r\n"]}
pacing: {timeout: 200 ms, retries: 2}
`

// The bytes: AA, then S out in or R, then BB and the sum of all before it; AA, BB and AC
// between are written AC 0A, AC 0B, AC 0C. FF is no input. It answers 06, 15 for no and
// 07 for busy, or AA T and four inputs, BB and the sum.
func stuffed(s *stranger, b byte) string {
	s.line = append(s.line, b)
	at := bytes.IndexByte(s.line, 0xBB)
	switch {
	case s.line[0] != 0xAA || len(s.line) > 40:
		s.line = nil
		return ""
	case at < 0 || len(s.line) < at+2:
		return ""
	}
	raw := unescaped(s.line[1:at])
	sum := byte((0xAA + 0xBB) & 0xFF)
	for _, c := range raw {
		sum += c
	}
	given := s.line[at+1]
	s.line = nil
	s.count++
	switch {
	case sum != given:
		return "\x15"
	case string(raw) == "R":
		return s.table()
	case len(raw) != 3 || raw[0] != 'S' || raw[1] < 1 || raw[1] > 4 || s.trouble(s.refuse):
		return "\x15"
	case s.trouble(s.busy):
		return "\x07"
	}
	if s.inputs[raw[1]] = int(raw[2]); raw[2] == 0xFF {
		s.inputs[raw[1]] = 0
	}
	return "\x06"
}

func unescaped(p []byte) []byte {
	var raw []byte
	for i := 0; i < len(p); i++ {
		if p[i] == 0xAC && i+1 < len(p) {
			i++
			raw = append(raw, map[byte]byte{0x0A: 0xAA, 0x0B: 0xBB, 0x0C: 0xAC}[p[i]])
			continue
		}
		raw = append(raw, p[i])
	}
	return raw
}

func (s *stranger) table() string {
	out, sum := "\xAAT", byte((0xAA+'T'+0xBB)&0xFF)
	for _, i := range s.inputs[1:] {
		b := byte(i)
		if i == 0 {
			b = 0xFF
		}
		out, sum = out+string([]byte{b}), sum+b
	}
	return out + "\xBB" + string([]byte{sum})
}

const stuffedManual = `
device: stuffed
links: [serial]
size: {inputs: 4, outputs: 4}
switching: by-output
frame: {start: AA, end: BB, after: 1, single: "06 15 07", escape: {byte: AC, as: {AA: "0A", BB: "0B", AC: "0C"}}}
messages:
  set: {send: [{check: sum, of: [{bytes: AA 53}, {number: output, base: 8-bit}, {number: input, base: 8-bit, off: FF}, {bytes: BB}]}], answer: [{bytes: "06"}], refusal: [{bytes: "15"}], busy: [{bytes: "07"}]}
  read: {send: [{check: sum, of: [{bytes: AA 52 BB}]}], answer: [{check: sum, of: [{bytes: AA 54}, {each: outputs, of: [{number: input, base: 8-bit, off: FF}]}, {bytes: BB}]}]}
pacing: {timeout: 200 ms, retries: 2}
`

// talk is the device's end of a cable until it is pulled. Answers are lost and spoilt as
// the trouble says.
func (s *stranger) talk(c *cable) {
	end, buffer := deviceEnd{c}, make([]byte, 64)
	for answers := 0; ; {
		n, err := end.Read(buffer)
		for _, b := range buffer[:n] {
			s.mu.Lock()
			said := []byte(s.hear(s, b))
			s.mu.Unlock()
			if len(said) == 0 {
				continue
			}
			if answers++; s.lose > 0 && answers%s.lose == 0 {
				continue
			}
			if s.spoil > 0 && answers%s.spoil == 0 {
				said[len(said)/2] ^= 0x10
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

func (s *stranger) holds() []patch.Crosspoint {
	s.mu.Lock()
	defer s.mu.Unlock()
	var list []patch.Crosspoint
	g := studio.Matrix{Name: "grid"}
	for o := 1; o < 5; o++ {
		if s.inputs[o] > 0 {
			list = append(list, patch.Crosspoint{Output: g.Out(o), Input: g.In(s.inputs[o])})
		}
	}
	return list
}

// Devices of which nobody here but their manual knows are driven through random
// patches, turns by hand, lost power, and answers that are busy, refused, lost, spoilt
// and late: whatever is read back is so. BAYHAND_RUNS is how many lives each has.
func TestStrangers(t *testing.T) {
	t.Setenv("BAYHAND_TEST_WORD", "heron")
	for name, of := range map[string]struct {
		manual string
		hear   func(*stranger, byte) string
	}{"wrapped": {wrappedManual, wrapped}, "terminal": {terminalManual, terminal}, "stuffed": {stuffedManual, stuffed}} {
		t.Run(name, func(t *testing.T) {
			d, _, problems := text.ReadDevice(name, []byte(of.manual))
			if len(problems) > 0 {
				t.Fatal(problems)
			}
			ends := outcomes{}
			all := between(0, 149)
			if os.Getenv("BAYHAND_RUNS") != "" {
				all = seeds(t)
			}
			for _, seed := range all {
				synctest.Test(t, func(t *testing.T) { live(t, d, of.hear, seed, ends) })
			}
			t.Log(ends)
			if ends["verified"] < len(all) || ends["not known"] == 0 {
				t.Errorf("the troubles are too many or too few: %v", ends)
			}
		})
	}
}

// live is one life of a stranger.
func live(t *testing.T, d *device.Description, hear func(*stranger, byte) string, seed uint64, ends outcomes) {
	random := rand.New(rand.NewPCG(seed, 41))
	s := &stranger{hear: hear}
	for _, trouble := range []*int{&s.busy, &s.refuse, &s.lose, &s.spoil} {
		if random.IntN(3) == 0 {
			*trouble = 2 + random.IntN(4)
		}
	}
	m := studio.Matrix{Name: "grid", Inputs: 4, Outputs: 4, Kind: studio.Amplifiers, Device: &studio.Device{}}
	if d.Switching == device.ByCrosspoint {
		m.Kind = studio.Contacts
	}
	for _, p := range d.Parameters {
		m.Device.Parameters = append(m.Device.Parameters, studio.Parameter{Name: p.Name, Value: "env:BAYHAND_TEST_WORD"})
	}
	var faults []fault
	for range random.IntN(4) {
		faults = append(faults, randomFault(random, 200, 150*time.Millisecond))
	}
	for range 2 { // the second time the link is opened anew, after it lost power
		c := newCable(9600, random.IntN(2) == 0, faults)
		ended := make(chan struct{})
		go func() { defer close(ended); s.talk(c) }()
		driven, err := matrix.New(d, m, driverEnd{c}, matrix.SystemClock{})
		if err != nil {
			t.Fatal(err)
		}
		for range 3 {
			step(t, driven, s, random, m, ends)
		}
		if err := driven.Close(); err != nil {
			t.Error(err)
		}
		<-ended
		s.inputs, s.logged, s.line = [5]int{}, false, nil
	}
}

// step switches to a random patch, turns the device by hand at times, and holds what is
// read against what it has.
func step(t *testing.T, driven *matrix.Matrix, s *stranger, random *rand.Rand, m studio.Matrix, ends outcomes) {
	var target []patch.Crosspoint
	for o := 1; o < 5; o++ {
		if i := random.IntN(5); i > 0 {
			target = append(target, patch.Crosspoint{Output: m.Out(o), Input: m.In(i)})
		}
	}
	synctest.Wait()
	open, closing := to(s.holds(), target)
	_ = driven.Switch(context.Background(), open, closing) // what it did, reading back says
	synctest.Wait()
	if random.IntN(4) == 0 {
		s.mu.Lock()
		s.inputs[1+random.IntN(4)] = random.IntN(5)
		s.mu.Unlock()
	}
	read, err := driven.Read(context.Background())
	synctest.Wait()
	switch {
	case err != nil:
		ends["not known"]++
	case !slices.Equal(read, s.holds()):
		t.Errorf("a wrong belief: read %v, and it holds %v", read, s.holds())
	default:
		ends["verified"]++
	}
}
