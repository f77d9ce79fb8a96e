package answer

import (
	"bytes"
	"testing"

	"bayhand/model/device"
	"bayhand/simulators/matrix"
)

// fuzzStream feeds a device whole and byte by byte; both must do the same, stay
// bounded, and answer afterwards.
func fuzzStream(f *testing.F, make func(testing.TB) (*Device, *matrix.Matrix), alive, answer []byte) {
	f.Fuzz(func(t *testing.T, p []byte) {
		whole, m := make(t)
		single, n := make(t)
		a := bytes.Join(whole.Receive(p), []byte("|"))
		var parts [][]byte
		for i := range p {
			parts = append(parts, single.Receive(p[i:i+1])...)
		}
		if b := bytes.Join(parts, []byte("|")); !bytes.Equal(a, b) {
			t.Fatalf("whole it answers %q, byte by byte %q", a, b)
		}
		if len(m.State()) != len(n.State()) || whole.Messages() != single.Messages() {
			t.Fatalf("whole it closes %v, byte by byte %v", m.State(), n.State())
		}
		if len(whole.pending) > maxPending || len(whole.troubles) > maxTroubles {
			t.Fatalf("%d messages and %d errors are held", len(whole.pending), len(whole.troubles))
		}
		whole.Clear()
		if got := bytes.Join(whole.Receive(alive), nil); !bytes.Equal(got, answer) {
			t.Fatalf("afterwards % X brings % X", alive, got)
		}
	})
}

func FuzzMIDI(f *testing.F) {
	for _, stream := range []string{
		"F07D100105000507020100F7", "F07D100206F7", "F07E7F0601F7", "F07D10F802FE06F7", "F07D1002F07D100206F7", "B2000220 2CC204F4F5F9FD",
	} {
		f.Add(wire(f, stream))
	}
	d := shipped(f, "midi-exclusive")
	fuzzStream(f, func(t testing.TB) (*Device, *matrix.Matrix) {
		return simulated(t, d, 8, 8, nil, matrix.Faults{})
	}, wire(f, "F07E100601F7"), wire(f, "F07E1006027D0100020000010000F7"))
}

func FuzzCounted(f *testing.F) {
	for _, stream := range []string{
		"0202013FF345", "020212402A1D", "02041041020 36B6D", "02FF10", "0202020202013FF345", "0202013FF346", "02000000",
	} {
		f.Add(wire(f, stream))
	}
	d := shipped(f, "binary-switch")
	fuzzStream(f, func(t testing.TB) (*Device, *matrix.Matrix) {
		return simulated(t, d, 8, 8, nil, matrix.Faults{})
	}, wire(f, "0202013FF345"), wire(f, "0221813F62617968616E642073696D756C617465642073656C6563746F7273203878381D12"))
}

func FuzzLines(f *testing.F) {
	for _, text := range []string{
		"@07abcC01002\r\n", "@07abcB#16(@2!1)\r\n@07abc?\r\n", "@07abcA1,2,0,4\r\n", "@07abc!\r\n", "@07abcB(@1!1:4!4)\r\n", "@07abcB#9999999999",
	} {
		f.Add([]byte(text))
	}
	fuzzStream(f, func(t testing.TB) (*Device, *matrix.Matrix) {
		return simulated(t, relays(), 4, 4, nil, matrix.Faults{})
	}, []byte("@07abcW\r\n"), []byte("1\r\n"))
}

// A description whose numbers run into one another can be read in very many
// ways; the work on a message stays bounded.
func TestAmbiguousDescriptionsEnd(t *testing.T) {
	digits := device.Field{Kind: device.Each, Over: device.Changes, Of: []device.Field{number("output", device.Decimal, 0), number("input", device.Decimal, 0)}}
	d := &device.Description{
		Name: "muddle", Switching: device.ByOutput, Frame: device.Frame{Kind: device.Lines, End: []byte("\n"), Requests: []byte("\n")},
		Exchanges: []device.Exchange{{Role: device.Set, Batch: 9, Send: []device.Field{textOf("a"), digits, textOf("b"), digits, literal("!\n")}}},
	}
	dev, _ := simulated(t, d, 8, 8, nil, matrix.Faults{})
	line := append(bytes.Repeat([]byte("1"), 5000), '\n')
	if got := dev.Receive(line); got != nil || dev.Messages() != 1 {
		t.Errorf("it answers %q", got)
	}
}
