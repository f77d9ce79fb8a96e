package ports

import (
	"slices"
	"testing"
)

// The layout is that of MIDIServices.h: UInt32 numPackets; then for each packet
// UInt64 timeStamp, UInt16 length, Byte data. MIDIPacketNext goes to the next
// multiple of 4 on ARM.
func TestPacketLists(t *testing.T) {
	time := slices.Repeat([]byte{0xEE}, 8)
	for align, filled := range map[int][]byte{1: nil, 4: {0, 0, 0}} { // 4 + 8 + 2 + 3 is 17
		list := slices.Concat([]byte{2, 0, 0, 0}, time, []byte{3, 0}, []byte("\x90\x3C\x64"), filled, time, []byte{2, 0}, []byte("\xC2\x04"))
		got := packetBytes(func(offset, n int) []byte { return list[offset : offset+n] }, align)
		if string(got) != "\x90\x3C\x64\xC2\x04" {
			t.Errorf("aligned to %d: % X", align, got)
		}
	}
	want := slices.Concat([]byte{1, 0, 0, 0}, make([]byte, 8), []byte{2, 0}, []byte("\xC2\x04"))
	if got := onePacket([]byte("\xC2\x04")); !slices.Equal(got, want) {
		t.Errorf("% X, want % X", got, want)
	}
}
