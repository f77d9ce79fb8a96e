package message_test

import (
	"bytes"
	"errors"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"bayhand/drivers/descriptions"
	"bayhand/drivers/descriptions/shipped"
	"bayhand/drivers/message"
	"bayhand/model/device"
)

var roles = []device.Role{
	device.Identify, device.Close, device.Open, device.Set, device.Off,
	device.Read, device.Settle, device.Errors, device.Report, device.ReadOutput, device.ReadRow, device.Cancel, device.Mute, device.Unmute,
}

func codecs(t testing.TB) []*message.Codec {
	all := []*message.Codec{
		codec(t, odd(), 16, 8, nil),
		codec(t, scpi(), 16, 8, nil),
		codec(t, scpi(), 16, 8, map[string]string{"rows": "inputs"}),
		codec(t, exclusive(), 16, 8, nil),
		codec(t, control(), 16, 8, nil),
		codec(t, lines(), 16, 8, nil),
	}
	for _, name := range descriptions.Names() {
		d := shipped.Named(t, name)
		if d.MaxOutputs == 0 || d.MaxOutputs >= 8 {
			all = append(all, codec(t, d, 16, 8, nil))
		}
	}
	return all
}

// Whatever bytes come, reading ends, and says something that can be: crosspoints
// of the matrix, or one of its two errors.
func FuzzAnswer(f *testing.F) {
	for _, seed := range []string{
		"#210(@1!2,3!4)\n", "(@1!1:3!2)\n", "0,\"No error\"\n", "-222,\"Data out of range\"\n", "1\n",
		"\xF0\x7E\x10\x7F\x05\xF7", "\xF0\x7D\x10\x42\x03\x02\x00\x08\x01\x00\x00\x00\x00\xF7",
		"\xF0\x7D\x10\x01\x05\x00\x05\x03\x00\xF7", "\xB0\x66\x05",
		"IS 4 0 2 1 1 1 1 1\n", "0,1,0,0,0,0,0,0,0,0,0,0,0,0,0,0\n", "\x02\x04\x91\x08\x04\x02\xF9\x5A", "\x3A\x01\x08<0312FF>D\n", "SET 1=4 3=0\n", "NOW 2=1 3=0\n", "NO power\n", "ROUT:CLOS (@1!2)\n",
	} {
		f.Add([]byte(seed))
	}
	all := codecs(f)
	f.Fuzz(func(t *testing.T, p []byte) {
		for _, c := range all {
			for _, role := range roles {
				about := func(role device.Role, p []byte) (message.Says, error) { return c.AnswerAbout(role, 3, p) }
				judged := func(role device.Role, p []byte) (message.Says, error) {
					says, _, err := c.Judge(role, 0, p)
					return says, err
				}
				for _, read := range []func(device.Role, []byte) (message.Says, error){c.Answer, about, judged, c.Sent} {
					says, err := read(role, slices.Clone(p))
					if err != nil {
						if !errors.Is(err, message.ErrOther) && !errors.Is(err, message.ErrValue) {
							t.Fatalf("%v of %q: %v", role, p, err)
						}
						continue
					}
					for _, x := range says.Crosspoints {
						if x.Output < 1 || x.Output > 8 || x.Input < 0 || x.Input > 16 {
							t.Fatalf("%v of %q says %v", role, p, x)
						}
					}
				}
			}
		}
	})
}

// However a stream is cut in pieces, the messages are the same.
func FuzzFramer(f *testing.F) {
	f.Add([]byte("#210(@1!2,\n!4)\n1\r\n#x\n"), uint8(3))
	f.Add([]byte("\x02\x02\x02\x04\x91\x08\x04\x02\xF9\x5A\x02\xFF"), uint8(2))
	f.Add([]byte("\xB0\x07\x40\xF8\x08\x41\xF0\x7E\xFE\x10\xF7\xF2\x01\xF0\x7D\xF7"), uint8(1))
	f.Add([]byte("\xF0\xF0\xF7\xF7\xF4\x01\xC0\x01\x02"), uint8(2))
	all := codecs(f)
	f.Fuzz(func(t *testing.T, p []byte, size uint8) {
		for _, c := range all {
			whole, _ := c.Framer().Feed(slices.Clone(p))
			framer := c.Framer()
			var pieces [][]byte
			for piece := range slices.Chunk(p, int(size)+1) {
				messages, _ := framer.Feed(slices.Clone(piece))
				pieces = append(pieces, messages...)
			}
			if !slices.EqualFunc(whole, pieces, bytes.Equal) {
				t.Fatalf("%q is %q at once, and %q in pieces", p, whole, pieces)
			}
			if framer.Pending() < 0 || framer.Pending() > len(p) {
				t.Fatalf("%d of %d bytes are pending", framer.Pending(), len(p))
			}
		}
	})
}

// Every MIDI message that is cut out begins with a status byte and has data
// bytes after it; only a system exclusive ends in F7.
func FuzzMIDIMessages(f *testing.F) {
	f.Add([]byte("\xB0\x07\x40\xF8\x08\x41\xF0\x7E\xFE\x10\xF7\xF2\x01\xF0\x7D\xF7"))
	c := codec(f, exclusive(), 8, 8, nil)
	f.Fuzz(func(t *testing.T, p []byte) {
		messages, _ := c.Framer().Feed(p)
		for _, m := range messages {
			data := m[1:]
			if m[0] == 0xF0 {
				if m[len(m)-1] != 0xF7 {
					t.Fatalf("% X has no end", m)
				}
				data = m[1 : len(m)-1]
			}
			if m[0] < 0x80 || m[0] >= 0xF8 || slices.ContainsFunc(data, func(b byte) bool { return b >= 0x80 }) {
				t.Fatalf("% X is no MIDI message", m)
			}
		}
	})
}

// What is written is read back as the same; of a message that counts in gangs, the first
// output of each stands for them all.
func TestWrittenIsReadBack(t *testing.T) {
	all := codecs(t)
	rapid.Check(t, func(t *rapid.T) {
		c := all[rapid.IntRange(0, len(all)-1).Draw(t, "codec")]
		role := rapid.SampledFrom([]device.Role{device.Close, device.Open, device.Set}).Draw(t, "role")
		lowest := 0
		if role != device.Set {
			lowest = 1
		}
		crosspoint := rapid.Custom(func(t *rapid.T) message.Crosspoint {
			x := message.Crosspoint{Output: rapid.IntRange(1, 8).Draw(t, "output"), Input: rapid.IntRange(lowest, 16).Draw(t, "input")}
			if lead, fits := c.Lead(x); fits && c.AsksGangs(role) {
				return lead
			}
			return x
		})
		says := message.Says{
			Crosspoints: rapid.SliceOfN(crosspoint, 1, 20).Draw(t, "crosspoints"),
			Packet:      rapid.IntRange(0, message.MaxPacket).Draw(t, "packet"),
		}
		sent, err := c.Send(role, says)
		if err != nil {
			return // another description's role, or more than one message carries
		}
		back, err := c.Sent(role, sent)
		if err != nil {
			t.Fatalf("%q: %v", sent, err)
		}
		var want []message.Crosspoint
		for _, x := range says.Crosspoints {
			want = append(want, meant(c, role, x)...)
		}
		if !slices.Equal(back.Crosspoints, want) || back.Packet != 0 && back.Packet != says.Packet {
			t.Fatalf("%v was written as %q and read back as %v", says, sent, back)
		}
	})
}

// meant is what a crosspoint means in the message of a role.
func meant(c *message.Codec, role device.Role, x message.Crosspoint) []message.Crosspoint {
	gang, _ := c.Gang(x.Output)
	if gang == nil || !c.AsksGangs(role) {
		return []message.Crosspoint{x}
	}
	var all []message.Crosspoint
	for k, output := range gang {
		if x.Input == 0 {
			k = 0 // off
		}
		all = append(all, message.Crosspoint{Output: output, Input: x.Input + k})
	}
	return all
}
