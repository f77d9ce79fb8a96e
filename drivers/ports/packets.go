package ports

import "encoding/binary"

// A MIDIPacketList of the header MIDIServices.h, which is packed to 4 bytes: the
// count of packets, and each packet with its time, its length and its bytes. On
// processors of ARM each begins at a multiple of 4 bytes, elsewhere at once.
const (
	packetCountSize = 4
	packetHeadSize  = 10
	packetLengthAt  = 8
	packetLength    = 256
)

// onePacket is a list of one packet, to be sent now.
func onePacket(bytes []byte) []byte {
	list := make([]byte, packetCountSize+packetHeadSize, packetCountSize+packetHeadSize+packetLength)
	binary.NativeEndian.PutUint32(list, 1)
	binary.NativeEndian.PutUint16(list[packetCountSize+packetLengthAt:], uint16(len(bytes)))
	return append(list, bytes...)
}

// packetBytes are the bytes of all packets of a list, of which at gives n bytes
// from an offset on; align is what a packet begins at a multiple of.
func packetBytes(at func(offset, n int) []byte, align int) []byte {
	var all []byte
	offset := packetCountSize
	for range binary.NativeEndian.Uint32(at(0, packetCountSize)) {
		n := int(binary.NativeEndian.Uint16(at(offset+packetLengthAt, 2)))
		all = append(all, at(offset+packetHeadSize, n)...)
		offset += packetHeadSize + n
		offset = (offset + align - 1) / align * align
	}
	return all
}
