package sequencer

import (
	"bytes"
	"testing"
	"unsafe"

	"github.com/google/go-cmp/cmp"
)

// The sizes and numbers that a C compiler gives for sound/asequencer.h of Linux
// 6.1 on a processor of 64 bits.
func TestStructuresAreTheKernels(t *testing.T) {
	if unsafe.Sizeof(uintptr(0)) != 8 {
		t.Skip("the numbers are those of 64 bits")
	}
	for name, is := range map[string][2]uintptr{
		"sizeof(struct snd_seq_client_info)":                {unsafe.Sizeof(clientInfo{}), 188},
		"sizeof(struct snd_seq_port_info)":                  {unsafe.Sizeof(portInfo{}), 168},
		"sizeof(struct snd_seq_port_subscribe)":             {unsafe.Sizeof(subscription{}), 80},
		"sizeof(struct snd_seq_client_pool)":                {unsafe.Sizeof(clientPool{}), 88},
		"offsetof(struct snd_seq_client_info, filter)":      {unsafe.Offsetof(clientInfo{}.filter), 72},
		"offsetof(struct snd_seq_client_info, num_ports)":   {unsafe.Offsetof(clientInfo{}.ports), 116},
		"offsetof(struct snd_seq_port_info, capability)":    {unsafe.Offsetof(portInfo{}.capability), 68},
		"offsetof(struct snd_seq_port_info, kernel)":        {unsafe.Offsetof(portInfo{}.kernel), 96},
		"offsetof(struct snd_seq_port_info, flags)":         {unsafe.Offsetof(portInfo{}.flags), 104},
		"offsetof(struct snd_seq_port_subscribe, flags)":    {unsafe.Offsetof(subscription{}.flags), 8},
		"offsetof(struct snd_seq_client_pool, output_room)": {unsafe.Offsetof(clientPool{}.room), 12},
		"SNDRV_SEQ_IOCTL_CLIENT_ID":                         {ioctlClientID, 0x80045301},
		"SNDRV_SEQ_IOCTL_GET_CLIENT_INFO":                   {ioctlGetClient, 0xc0bc5310},
		"SNDRV_SEQ_IOCTL_SET_CLIENT_INFO":                   {ioctlSetClient, 0x40bc5311},
		"SNDRV_SEQ_IOCTL_CREATE_PORT":                       {ioctlCreatePort, 0xc0a85320},
		"SNDRV_SEQ_IOCTL_SUBSCRIBE_PORT":                    {ioctlSubscribe, 0x40505330},
		"SNDRV_SEQ_IOCTL_GET_CLIENT_POOL":                   {ioctlGetPool, 0xc058534b},
		"SNDRV_SEQ_IOCTL_SET_CLIENT_POOL":                   {ioctlSetPool, 0x4058534c},
		"SNDRV_SEQ_IOCTL_QUERY_NEXT_CLIENT":                 {ioctlNextClient, 0xc0bc5351},
		"SNDRV_SEQ_IOCTL_QUERY_NEXT_PORT":                   {ioctlNextPort, 0xc0a85352},
	} {
		if is[0] != is[1] {
			t.Errorf("%s is %#x, want %#x", name, is[0], is[1])
		}
	}
}

var from, to = Address{128, 0}, Address{24, 1}

// The layout of struct snd_seq_event and the types are those of sound/asequencer.h;
// the messages are MIDI 1.0's.
func TestEventsAreTheKernels(t *testing.T) {
	for _, test := range []struct{ message, kindAndData string }{
		{"\x92\x3C\x64", "\x06\x02\x3C\x64\x00\x00\x00\x00\x00\x00\x00\x00\x00"},
		{"\x80\x3C\x40", "\x07\x00\x3C\x40\x00\x00\x00\x00\x00\x00\x00\x00\x00"},
		{"\xB2\x20\x2C", "\x0A\x02\x00\x00\x00\x20\x00\x00\x00\x2C\x00\x00\x00"},
		{"\xCF\x04", "\x0B\x0F\x00\x00\x00\x00\x00\x00\x00\x04\x00\x00\x00"},
		{"\xE0\x00\x40", "\x0D\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00"},
		{"\xE0\x00\x00", "\x0D\x00\x00\x00\x00\x00\x00\x00\x00\x00\xE0\xFF\xFF"}, // -8192
		{"\xF2\x01\x01", "\x14\x00\x00\x00\x00\x00\x00\x00\x00\x81\x00\x00\x00"},
		{"\xFA", "\x1E\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00"},
	} {
		events, err := Encode([]byte(test.message), from, to)
		if err != nil || len(events) != 1 {
			t.Fatal(events, err)
		}
		want := test.kindAndData[:1] + "\x00\x00\xFD" + "\x00\x00\x00\x00\x00\x00\x00\x00" + "\x80\x00\x18\x01" + test.kindAndData[1:]
		if diff := cmp.Diff([]byte(want), events[0]); diff != "" {
			t.Errorf("% X: -want +encoded\n%s", test.message, diff)
		}
	}
}

// Every message of MIDI 1.0 but the system exclusive comes back as it was.
func TestMessagesComeBack(t *testing.T) {
	for status := 0x80; status <= 0xFF; status++ {
		kind, length := typeOf(byte(status))
		if kind == 0 {
			continue
		}
		for _, value := range []byte{0, 1, 0x40, 0x7F} {
			message := []byte{byte(status), value, 0x7F - value}[:length]
			events, err := Encode(message, from, to)
			if err != nil {
				t.Fatal(err)
			}
			event, rest, err := Decode(events[0])
			if err != nil || len(rest) > 0 || event.Source != from || !bytes.Equal(event.Bytes, message) {
				t.Errorf("% X came back as %+v, % X is left, %v", message, event, rest, err)
			}
		}
	}
}

// A long system exclusive is cut, and comes back whole from what the kernel gives
// to read: each piece filled up to whole events.
func TestExclusivesComeBack(t *testing.T) {
	for _, length := range []int{3, 28, 256, 257, 5000} {
		message := append(append([]byte{0xF0, 0x7D}, bytes.Repeat([]byte{0x11}, length-3)...), 0xF7)
		events, err := Encode(message, from, to)
		if err != nil {
			t.Fatal(err)
		}
		var read, got []byte
		for _, event := range events {
			if len(event) > eventSize+pieceLength {
				t.Errorf("an event of %d bytes", len(event))
			}
			read = append(read, event...)
			read = append(read, make([]byte, (eventSize-len(event)%eventSize)%eventSize)...)
		}
		for len(read) > 0 {
			var event Event
			if event, read, err = Decode(read); err != nil {
				t.Fatal(err)
			}
			got = append(got, event.Bytes...)
		}
		if !bytes.Equal(got, message) {
			t.Errorf("%d bytes came back as %d", len(message), len(got))
		}
	}
}

// What programs send for several Control Changes (MIDI 1.0: controllers 0 to 31
// have their lower halves 32 above; 98 to 101 number a parameter, 6 and 38 set it).
func TestControllersOfSeveral(t *testing.T) {
	for _, test := range []struct {
		kind         byte
		param, value uint16
		want         string
	}{
		{controller14, 0, 0x101, "\xB2\x00\x02\xB2\x20\x01"},
		{controller14, 70, 5, "\xB2\x46\x05"},
		{registered, 0x81, 0x102, "\xB2\x65\x01\xB2\x64\x01\xB2\x06\x02\xB2\x26\x02"},
		{nonRegistered, 0x81, 0x102, "\xB2\x63\x01\xB2\x62\x01\xB2\x06\x02\xB2\x26\x02"},
	} {
		head := empty(test.kind, from, to)
		head[channelAt] = 2
		head[paramAt], head[paramAt+1] = byte(test.param), byte(test.param>>8)
		head[valueAt], head[valueAt+1] = byte(test.value), byte(test.value>>8)
		event, _, err := Decode(head)
		if err != nil || string(event.Bytes) != test.want {
			t.Errorf("type %d is % X, want % X, %v", test.kind, event.Bytes, test.want, err)
		}
	}
}

func TestPortsThatGo(t *testing.T) {
	for kind, all := range map[byte]bool{portExit: false, clientExit: true} {
		head := empty(kind, announce, to)
		head[dataAt], head[dataAt+1] = 24, 1
		event, _, err := Decode(head)
		if err != nil || event.Gone == nil || *event.Gone != to || event.GoneAll != all || event.Bytes != nil {
			t.Errorf("type %d is %+v, %v", kind, event, err)
		}
	}
}

func TestWhatIsNoMessage(t *testing.T) {
	for _, message := range []string{"", "\x40", "\xC2", "\xC2\x04\x05", "\x90\x40", "\x90\x40\x80", "\xF4", "\xF7"} {
		if events, err := Encode([]byte(message), from, to); err == nil {
			t.Errorf("% X became % X", message, events)
		}
	}
}

// Whatever the kernel gives, nothing ends the program, and everything is read or
// an error.
func FuzzDecode(f *testing.F) {
	f.Add(make([]byte, eventSize))
	long := empty(systemExclusive, from, to)
	long[flagsAt], long[lengthAt+3] = lengthVariable, 0xFF
	f.Add(long)
	f.Fuzz(func(t *testing.T, read []byte) {
		for len(read) > 0 {
			_, rest, err := Decode(read)
			if err != nil {
				return
			}
			if len(rest) >= len(read) {
				t.Fatalf("%d of %d bytes are left", len(rest), len(read))
			}
			read = rest
		}
	})
}
