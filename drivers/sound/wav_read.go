package sound

import (
	"bufio"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
)

// Wave is a whole file: each channel's samples, full scale being 1.
type Wave struct {
	Format   Format
	Channels [][]float32
}

// Read reads a whole WAV file: RIFF, RF64 or BW64, with samples of 16, 24 or 32
// bits or floats of 32 or 64. A size that the writer did not know, ffffffff or 0, runs to the
// end of the file; one that the file does not have is an error.
func Read(r io.Reader) (*Wave, error) {
	in := &wavReader{in: bufio.NewReaderSize(r, 1<<16)}
	if err := in.begin(); err != nil {
		return nil, err
	}
	for {
		id, size, err := in.chunk()
		if err != nil {
			return nil, err
		}
		if id == "data" {
			return in.data(size)
		}
		if err := in.other(id, size); err != nil {
			return nil, fmt.Errorf("its %q chunk: %w", id, err)
		}
	}
}

type wavReader struct {
	in     *bufio.Reader
	long   bool // RF64 or BW64
	sizes  bool // ds64 was read
	size   int64
	whole  int64 // of all after the first 8 bytes, as the file says
	at     int64 // bytes that were read
	format Format
	known  bool
}

func (r *wavReader) begin() error {
	var head [12]byte
	if _, err := io.ReadFull(r.in, head[:]); err != nil {
		return ErrNotWAV
	}
	switch string(head[:4]) {
	case "RIFF":
	case "RF64", "BW64":
		r.long = true
	default:
		return ErrNotWAV
	}
	if string(head[8:]) != "WAVE" {
		return fmt.Errorf("a %s file of kind %q, not WAVE", head[:4], head[8:])
	}
	r.whole, r.at = int64(binary.LittleEndian.Uint32(head[4:])), int64(len(head))
	return nil
}

// chunk is the head of the next chunk.
func (r *wavReader) chunk() (id string, size int64, err error) {
	var head [8]byte
	if _, err := io.ReadFull(r.in, head[:]); err != nil {
		return "", 0, errors.New("the file ends before its data")
	}
	r.at += int64(len(head))
	return string(head[:4]), int64(binary.LittleEndian.Uint32(head[4:])), nil
}

// other reads what the file says of itself, and skips what is of no use here.
func (r *wavReader) other(id string, size int64) error {
	r.at += size + size%2
	switch id {
	case "fmt ":
		return r.readFormat(size)
	case "ds64":
		return r.readSizes(size)
	}
	return r.skip(size + size%2)
}

func (r *wavReader) skip(bytes int64) error {
	if n, err := io.CopyN(io.Discard, r.in, bytes); err != nil {
		return fmt.Errorf("it ends after %d of %d bytes", n, bytes)
	}
	return nil
}

// body reads a chunk of which at least so many bytes are needed.
func (r *wavReader) body(size, least int64) ([]byte, error) {
	if size < least || size > 1<<16 {
		return nil, fmt.Errorf("%d bytes, where at least %d are needed", size, least)
	}
	b := make([]byte, size+size%2)
	if n, err := io.ReadFull(r.in, b); err != nil {
		return nil, fmt.Errorf("it ends after %d of %d bytes", n, size)
	}
	return b, nil
}

// readSizes reads the sizes of 64 bits: of the whole, of the data, and the number
// of frames.
func (r *wavReader) readSizes(size int64) error {
	b, err := r.body(size, 24)
	if err != nil {
		return err
	}
	data := binary.LittleEndian.Uint64(b[8:])
	if data > math.MaxInt64/2 {
		return fmt.Errorf("data of %d bytes", data)
	}
	r.size, r.sizes = int64(data), true
	if whole := binary.LittleEndian.Uint64(b); whole <= math.MaxInt64/2 {
		r.whole = int64(whole)
	}
	return nil
}

func (r *wavReader) readFormat(size int64) error {
	b, err := r.body(size, 16)
	if err != nil {
		return err
	}
	tag := binary.LittleEndian.Uint16(b)
	f := Format{
		Channels: int(binary.LittleEndian.Uint16(b[2:])),
		Rate:     int(binary.LittleEndian.Uint32(b[4:])),
		Bits:     int(binary.LittleEndian.Uint16(b[14:])),
	}
	if tag == tagExtensible {
		if len(b) < 40 || [14]byte(b[26:40]) != guidTail {
			return errors.New("an extensible format of a kind that is not known")
		}
		tag = binary.LittleEndian.Uint16(b[24:])
	}
	switch tag {
	case tagPCM:
	case tagFloat:
		f.Float = true
	default:
		return fmt.Errorf("samples in format %#04x; plain ones (0x0001) and floats (0x0003) are read: save the recording as PCM", tag)
	}
	if err := f.check(); err != nil {
		return err
	}
	if align := int(binary.LittleEndian.Uint16(b[12:])); align != f.frame() {
		return fmt.Errorf("frames of %d bytes, where %s make %d", align, f, f.frame())
	}
	r.format, r.known = f, true
	return nil
}

// data reads the samples.
func (r *wavReader) data(size int64) (*Wave, error) {
	if !r.known {
		return nil, errors.New("its data come before its format")
	}
	if r.long && size == noSize {
		if !r.sizes {
			return nil, errors.New("a file of 64 bits without its sizes (ds64)")
		}
		size = r.size
	}
	open := size == noSize && !r.long || size == 0 && r.streamed()
	w := &Wave{Format: r.format, Channels: make([][]float32, r.format.Channels)}
	want := size / int64(r.format.frame())
	got, err := w.fill(r.in, want, open)
	if err != nil {
		return nil, err
	}
	if !open && got < want {
		return nil, fmt.Errorf("the file ends after %d of %d frames: the recording was cut off", got, want)
	}
	return w, nil
}

// streamed says whether a size of 0 is one that the writer did not know: it wrote the sizes before
// the samples, and could not go back. Where it knew, other chunks may follow no samples, and
// the whole reaches beyond the head of the data.
func (r *wavReader) streamed() bool { return r.whole == noSize || r.whole+8 <= r.at }

// fill reads up to a number of frames, or to the end, and says how many there
// were.
func (w *Wave) fill(in io.Reader, most int64, open bool) (int64, error) {
	frame := w.Format.frame()
	piece := make([]byte, frame*max(1, 1<<16/frame))
	read := int64(0)
	for open || read < most {
		room := piece
		if left := (most - read) * int64(frame); !open && left < int64(len(room)) {
			room = room[:left]
		}
		n, err := io.ReadFull(in, room)
		read += int64(n / frame)
		if bad := w.take(room[:n/frame*frame]); bad != nil {
			return read, bad
		}
		if err == io.EOF || err == io.ErrUnexpectedEOF {
			break
		}
		if err != nil {
			return read, err
		}
	}
	return read, nil
}

// take adds whole frames.
func (w *Wave) take(b []byte) error {
	f := w.Format
	for i := 0; len(b) > 0; i++ {
		x := f.sample(b)
		if math.IsNaN(float64(x)) || math.IsInf(float64(x), 0) {
			return fmt.Errorf("frame %d of channel %d is no number", len(w.Channels[i%f.Channels])+1, i%f.Channels+1)
		}
		w.Channels[i%f.Channels] = append(w.Channels[i%f.Channels], x)
		b = b[f.Bits/8:]
	}
	return nil
}

// samples reads samples that stand one after the other. The format of most devices
// has a way of its own: a device is served every 10 ms.
func (f Format) samples(to []float32, b []byte) {
	if f.Float || f.Bits != 32 {
		width := f.Bits / 8
		for i := range to {
			to[i] = f.sample(b[i*width:])
		}
		return
	}
	for i := range to {
		to[i] = float32(int32(binary.LittleEndian.Uint32(b[4*i:]))) * (1.0 / (1 << 31))
	}
}

// sample is the first sample of some bytes.
func (f Format) sample(b []byte) float32 {
	switch {
	case f.Float && f.Bits == 32:
		return math.Float32frombits(binary.LittleEndian.Uint32(b))
	case f.Float:
		return float32(math.Float64frombits(binary.LittleEndian.Uint64(b)))
	case f.Bits == 16:
		return float32(int16(binary.LittleEndian.Uint16(b))) / (1 << 15)
	case f.Bits == 24:
		return float32(int32(uint32(b[0])<<8|uint32(b[1])<<16|uint32(b[2])<<24)>>8) / (1 << 23)
	}
	return float32(float64(int32(binary.LittleEndian.Uint32(b))) / (1 << 31))
}
