package sound

import (
	"bufio"
	"encoding/binary"
	"fmt"
	"io"
	"math"
)

// Writer writes one WAV file of a known length.
type Writer struct {
	out    *bufio.Writer
	format Format
	left   int64 // frames
	bytes  int64 // of the data
	buffer []byte
}

// NewWriter writes the header of a file of a number of frames: RIFF, or RF64
// where its size does not fit into 32 bits (EBU Tech 3306, ITU-R BS.2088).
func NewWriter(w io.Writer, f Format, frames int64) (*Writer, error) {
	if err := f.check(); err != nil {
		return nil, err
	}
	out := &Writer{out: bufio.NewWriterSize(w, 1<<16), format: f, left: frames, bytes: frames * int64(f.frame())}
	_, err := out.out.Write(header(f, frames))
	return out, err
}

// header is everything before the first sample.
func header(f Format, frames int64) []byte {
	format := formatChunk(f)
	data := frames * int64(f.frame())
	riff := 4 + 8 + int64(len(format)) + 8 + data + data%2
	long := riff > math.MaxUint32-64
	var h []byte
	if long {
		riff += 8 + 28
		h = append(h, "RF64\xff\xff\xff\xffWAVEds64"...)
		h = binary.LittleEndian.AppendUint32(h, 28)
		h = binary.LittleEndian.AppendUint64(h, uint64(riff))
		h = binary.LittleEndian.AppendUint64(h, uint64(data))
		h = binary.LittleEndian.AppendUint64(h, uint64(frames))
		h = binary.LittleEndian.AppendUint32(h, 0) // no table
	} else {
		h = append(h, "RIFF"...)
		h = binary.LittleEndian.AppendUint32(h, uint32(riff))
		h = append(h, "WAVE"...)
	}
	h = append(h, "fmt "...)
	h = binary.LittleEndian.AppendUint32(h, uint32(len(format)))
	h = append(h, format...)
	h = append(h, "data"...)
	if long {
		return binary.LittleEndian.AppendUint32(h, noSize)
	}
	return binary.LittleEndian.AppendUint32(h, uint32(data))
}

// formatChunk is the old one where it can say everything, else the extensible
// one, without loudspeakers for its channels.
func formatChunk(f Format) []byte {
	tag := uint16(tagPCM)
	if f.Float {
		tag = tagFloat
	}
	extensible := f.Channels > 2 || !f.Float && f.Bits > 16
	first := tag
	if extensible {
		first = tagExtensible
	}
	var c []byte
	c = binary.LittleEndian.AppendUint16(c, first)
	c = binary.LittleEndian.AppendUint16(c, uint16(f.Channels))
	c = binary.LittleEndian.AppendUint32(c, uint32(f.Rate))
	c = binary.LittleEndian.AppendUint32(c, uint32(f.Rate*f.frame()))
	c = binary.LittleEndian.AppendUint16(c, uint16(f.frame()))
	c = binary.LittleEndian.AppendUint16(c, uint16(f.Bits))
	if !extensible {
		return c
	}
	c = binary.LittleEndian.AppendUint16(c, 22)
	c = binary.LittleEndian.AppendUint16(c, uint16(f.Bits))
	c = binary.LittleEndian.AppendUint32(c, 0)
	c = binary.LittleEndian.AppendUint16(c, tag)
	return append(c, guidTail[:]...)
}

// Write writes whole frames, channel after channel within each; full scale is 1,
// and what is beyond is cut in formats of whole numbers.
func (w *Writer) Write(samples []float32) error {
	frames := int64(len(samples) / w.format.Channels)
	if len(samples)%w.format.Channels != 0 || frames > w.left {
		return fmt.Errorf("%d samples of %d channels, with %d frames left to write", len(samples), w.format.Channels, w.left)
	}
	w.left -= frames
	w.buffer = w.buffer[:0]
	for _, x := range samples {
		w.buffer = w.format.append(w.buffer, x)
	}
	_, err := w.out.Write(w.buffer)
	return err
}

// appendAll writes samples. The format of most devices has a way of its own: a
// device is served every 10 ms.
func (f Format) appendAll(b []byte, samples []float32) []byte {
	if f.Float || f.Bits != 32 {
		for _, x := range samples {
			b = f.append(b, x)
		}
		return b
	}
	for _, x := range samples {
		whole := uint32(math.MaxInt32)
		if x < 1 {
			whole = uint32(int32(max(-1, float64(x)) * (1 << 31)))
		}
		b = append(b, byte(whole), byte(whole>>8), byte(whole>>16), byte(whole>>24))
	}
	return b
}

// append writes one sample.
func (f Format) append(b []byte, x float32) []byte {
	if f.Float && f.Bits == 32 {
		return binary.LittleEndian.AppendUint32(b, math.Float32bits(x))
	}
	if f.Float {
		return binary.LittleEndian.AppendUint64(b, math.Float64bits(float64(x)))
	}
	whole := uint32(int32(scaled(x, f.Bits)))
	switch f.Bits {
	case 16:
		return binary.LittleEndian.AppendUint16(b, uint16(whole))
	case 24:
		return append(b, byte(whole), byte(whole>>8), byte(whole>>16))
	}
	return binary.LittleEndian.AppendUint32(b, whole)
}

// scaled is a sample as a whole number.
func scaled(x float32, bits int) int64 {
	full := float64(int64(1) << (bits - 1))
	return int64(max(-full, min(full-1, math.Round(float64(x)*full))))
}

// Close writes what is buffered; it fails if frames are missing.
func (w *Writer) Close() error {
	if w.left != 0 {
		return fmt.Errorf("%d frames are missing", w.left)
	}
	if w.bytes%2 == 1 {
		if err := w.out.WriteByte(0); err != nil {
			return err
		}
	}
	return w.out.Flush()
}
