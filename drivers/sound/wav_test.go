package sound_test

import (
	"bytes"
	"encoding/binary"
	"encoding/hex"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"bayhand/drivers/sound"
)

var formats = []sound.Format{
	{Rate: 48000, Channels: 2, Bits: 16},
	{Rate: 44100, Channels: 3, Bits: 24},
	{Rate: 96000, Channels: 32, Bits: 32},
	{Rate: 48000, Channels: 1, Bits: 32, Float: true},
	{Rate: 48000, Channels: 5, Bits: 64, Float: true},
}

// ramp is samples that every format holds exactly: eighths of full scale.
func ramp(f sound.Format, frames int) []float32 {
	samples := make([]float32, frames*f.Channels)
	for i := range samples {
		samples[i] = float32((i*7)%15-7) / 8
	}
	return samples
}

func written(t testing.TB, f sound.Format, samples []float32) []byte {
	t.Helper()
	var b bytes.Buffer
	w, err := sound.NewWriter(&b, f, int64(len(samples)/f.Channels))
	if err != nil {
		t.Fatal(err)
	}
	if err := w.Write(samples); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func same(t *testing.T, w *sound.Wave, samples []float32) {
	t.Helper()
	n := len(w.Channels)
	for i, want := range samples {
		if len(w.Channels[i%n]) != len(samples)/n || w.Channels[i%n][i/n] != want {
			t.Fatalf("%s: sample %d is not %v", w.Format, i, want)
		}
	}
}

func TestWrittenIsRead(t *testing.T) {
	for _, f := range formats {
		samples := ramp(f, 1001)
		w, err := sound.Read(bytes.NewReader(written(t, f, samples)))
		if err != nil {
			t.Fatalf("%s: %v", f, err)
		}
		if w.Format != f {
			t.Errorf("%s is read as %s", f, w.Format)
		}
		same(t, w, samples)
	}
}

// The extensible format: tag fffe, 22 more bytes, and a GUID that begins with
// the old tag and ends 0000 0000 1000 8000 00aa 0038 9b71 (from memory, and read
// so by other programs: see TestOthersRead).
func TestExtensible(t *testing.T) {
	b := written(t, sound.Format{Rate: 48000, Channels: 3, Bits: 24}, nil)
	got := hex.EncodeToString(b[12:68])
	want := "666d742028000000feff030080bb00008097060009001800" + "1600180000000000" + "0100000000001000800000aa00389b71" + "6461746100000000"
	if got != want {
		t.Errorf("the header is\n%s, not\n%s", got, want)
	}
}

// A file of more than 4 GiB is RF64: its first chunk is ds64 with the sizes of
// the whole, of the data, and the frames, and the data chunk says ffffffff (EBU
// Tech 3306; ITU-R BS.2088: from memory).
func TestLongHeader(t *testing.T) {
	var b bytes.Buffer
	const frames = int64(1 << 31)
	if _, err := sound.NewWriter(&b, sound.Format{Rate: 48000, Channels: 1, Bits: 24}, frames); err != nil {
		t.Fatal(err)
	}
	w, _ := sound.NewWriter(&b, sound.Format{Rate: 48000, Channels: 1, Bits: 24}, frames)
	_ = w
	long := header64(frames)
	if got := long[:20]; string(got[:4]) != "RF64" || string(got[8:16]) != "WAVEds64" {
		t.Errorf("it begins %q", got)
	}
	if data := binary.LittleEndian.Uint64(long[28:]); data != uint64(3*frames) {
		t.Errorf("the data are said to be %d bytes", data)
	}
	if n := binary.LittleEndian.Uint64(long[36:]); n != uint64(frames) {
		t.Errorf("%d frames are said", n)
	}
	if riff := binary.LittleEndian.Uint64(long[20:]); riff != uint64(int64(len(long)-8)+3*frames) {
		t.Errorf("the whole is said to be %d bytes", riff)
	}
	if !bytes.HasSuffix(long, []byte("data\xff\xff\xff\xff")) {
		t.Errorf("it ends %q", long[len(long)-8:])
	}
}

// header64 is what is written before the first sample of a long file.
func header64(frames int64) []byte {
	var b bytes.Buffer
	w, err := sound.NewWriter(&b, sound.Format{Rate: 48000, Channels: 1, Bits: 24}, frames)
	if err != nil {
		panic(err)
	}
	// What is buffered comes out once enough follows it.
	piece := make([]float32, 1<<16)
	if err := w.Write(piece); err != nil {
		panic(err)
	}
	at := bytes.Index(b.Bytes(), []byte("data\xff\xff\xff\xff"))
	return b.Bytes()[:at+8]
}

// A short file may be RF64 as well; so some recorders write every file.
func TestShortLongFileIsRead(t *testing.T) {
	f := sound.Format{Rate: 48000, Channels: 2, Bits: 16}
	samples := ramp(f, 10)
	plain := written(t, f, samples)
	for _, id := range []string{"RF64", "BW64"} {
		b := append([]byte(id), "\xff\xff\xff\xffWAVEds64\x1c\x00\x00\x00"...)
		b = binary.LittleEndian.AppendUint64(b, uint64(len(plain)-8+36))
		b = binary.LittleEndian.AppendUint64(b, 40)
		b = binary.LittleEndian.AppendUint64(b, 10)
		b = append(b, 0, 0, 0, 0)
		b = append(b, plain[12:]...)
		at := bytes.Index(b, []byte("data"))
		copy(b[at+4:], "\xff\xff\xff\xff")
		w, err := sound.Read(bytes.NewReader(append(b, "LIST\x04\x00\x00\x00abcd"...)))
		if err != nil {
			t.Fatal(err)
		}
		same(t, w, samples)
	}
}

func TestBadFiles(t *testing.T) {
	good := written(t, sound.Format{Rate: 48000, Channels: 2, Bits: 16}, ramp(sound.Format{Channels: 2}, 10))
	change := func(at int, b ...byte) []byte {
		c := bytes.Clone(good)
		copy(c[at:], b)
		return c
	}
	for want, b := range map[string][]byte{
		"not a WAV file: it begins with none of RIFF, RF64 and BW64":                                                                []byte("ID3"),
		`a RIFF file of kind "AVI ", not WAVE`:                                                                                      change(8, []byte("AVI ")...),
		"the file ends before its data":                                                                                             good[:36],
		"its data come before its format":                                                                                           change(12, []byte("data")...),
		"the file ends after 9 of 10 frames: the recording was cut off":                                                             good[:len(good)-1],
		"its \"fmt \" chunk: 0 channels; 1 to 1024 can be":                                                                          change(22, 0, 0),
		"its \"fmt \" chunk: samples of 8 bits; 16, 24 and 32 are read":                                                             change(34, 8),
		"its \"fmt \" chunk: frames of 9 bytes, where 2 channels, 48000 Hz, 16 bits make 4":                                         change(32, 9),
		"its \"fmt \" chunk: samples in format 0x0055; plain ones (0x0001) and floats (0x0003) are read: save the recording as PCM": change(20, 0x55),
		"a file of 64 bits without its sizes (ds64)":                                                                                change(0, append([]byte("RF64"), change(40, 255, 255, 255, 255)[4:]...)...),
	} {
		if _, err := sound.Read(bytes.NewReader(b)); err == nil || err.Error() != want {
			t.Errorf("got %v, want %s", err, want)
		}
	}
}

// A recorder that writes to a pipe does not know the size.
func TestUnknownSize(t *testing.T) {
	f := sound.Format{Rate: 48000, Channels: 2, Bits: 16}
	samples := ramp(f, 10)
	b := written(t, f, samples)
	copy(b[4:], "\xff\xff\xff\xff")
	copy(b[40:], "\xff\xff\xff\xff")
	w, err := sound.Read(bytes.NewReader(append(b, 1)))
	if err != nil {
		t.Fatal(err)
	}
	same(t, w, samples)
}

// One that writes 0 for a size that it does not know, and never comes back to it, leaves its
// samples behind the head; general readers take them to the end of the file (common practice,
// no published source). A file that is known to have none has none, whatever follows.
func TestSizeOfNothing(t *testing.T) {
	f := sound.Format{Rate: 48000, Channels: 2, Bits: 16}
	samples := ramp(f, 10)
	for _, c := range []struct {
		what, whole string
		none        bool
	}{
		{"nothing is known of the whole", "\x00\x00\x00\x00", false},
		{"the whole is unknown", "\xff\xff\xff\xff", false},
		{"the whole is the head", "\x24\x00\x00\x00", false},
		{"the whole is known, and another chunk follows", "\x50\x00\x00\x00", true},
	} {
		b := written(t, f, samples)
		copy(b[4:], c.whole)
		copy(b[40:], "\x00\x00\x00\x00")
		w, err := sound.Read(bytes.NewReader(append(b, 1)))
		switch {
		case err != nil:
			t.Errorf("%s: %v", c.what, err)
		case c.none && len(w.Channels[0]) != 0:
			t.Errorf("%s, and %d frames are read", c.what, len(w.Channels[0]))
		case !c.none:
			same(t, w, samples)
		}
	}
	// The same of 64 bits: all of ds64 is 0.
	b := append([]byte("RF64"), "\xff\xff\xff\xffWAVEds64\x1c\x00\x00\x00"...)
	b = append(b, make([]byte, 28)...)
	b = append(b, written(t, f, samples)[12:]...)
	copy(b[bytes.Index(b, []byte("data"))+4:], "\xff\xff\xff\xff")
	w, err := sound.Read(bytes.NewReader(b))
	if err != nil {
		t.Fatal(err)
	}
	same(t, w, samples)
}

func TestFullScaleIsCut(t *testing.T) {
	b := written(t, sound.Format{Rate: 48000, Channels: 2, Bits: 24}, []float32{1.5, -1.5})
	w, err := sound.Read(bytes.NewReader(b))
	if err != nil {
		t.Fatal(err)
	}
	if up, down := w.Channels[0][0], w.Channels[1][0]; math.Abs(float64(up)-1) > 1e-6 || down != -1 {
		t.Errorf("full scale is %v and %v", up, down)
	}
}

// Other programs read what is written here, and what they write is read here:
// sox and ffmpeg. They are optional peers.
func TestOthersRead(t *testing.T) {
	dir := t.TempDir()
	for i, f := range formats {
		samples := ramp(f, 501)
		ours := filepath.Join(dir, "ours.wav")
		if err := os.WriteFile(ours, written(t, f, samples), 0o600); err != nil {
			t.Fatal(err)
		}
		for _, program := range []string{"sox", "ffmpeg"} {
			theirs := filepath.Join(dir, program+".wav")
			run(t, program, copying(program, f, ours, theirs)...)
			file, err := os.Open(theirs)
			if err != nil {
				t.Fatal(err)
			}
			w, err := sound.Read(file)
			file.Close()
			if err != nil {
				t.Fatalf("%s, %d: %v", program, i, err)
			}
			same(t, w, samples)
			if w.Format != f {
				t.Errorf("%s writes %s for %s", program, w.Format, f)
			}
		}
	}
}

// copying are the arguments that make a program decode a file and write it
// again in its format.
func copying(program string, f sound.Format, from, to string) []string {
	if program == "sox" {
		encoding := "signed-integer"
		if f.Float {
			encoding = "floating-point"
		}
		return []string{"-D", from, "-e", encoding, "-b", itoa(f.Bits), to}
	}
	codec := "pcm_s" + itoa(f.Bits) + "le"
	if f.Float {
		codec = "pcm_f" + itoa(f.Bits) + "le"
	}
	return []string{"-v", "error", "-y", "-i", from, "-c:a", codec, "-rf64", "auto", to}
}

func itoa(n int) string { return map[int]string{16: "16", 24: "24", 32: "32", 64: "64"}[n] }

func run(t *testing.T, program string, args ...string) {
	t.Helper()
	path, err := exec.LookPath(program)
	if err != nil {
		if os.Getenv("BAYHAND_PEERS") == "require" {
			t.Fatalf("%s is missing", program)
		}
		t.Skipf("%s is not on this machine", program)
	}
	if out, err := exec.CommandContext(t.Context(), path, args...).CombinedOutput(); err != nil {
		t.Fatalf("%s %s: %v\n%s", program, strings.Join(args, " "), err, out)
	}
}

// FuzzRead: no bytes make the reader fall over, or make it hold more than they
// are.
func FuzzRead(f *testing.F) {
	for _, format := range formats {
		f.Add(written(f, format, ramp(format, 3)))
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		w, err := sound.Read(bytes.NewReader(b))
		if err != nil {
			return
		}
		total := 0
		for _, ch := range w.Channels {
			total += len(ch)
		}
		if total*2 > len(b) {
			t.Errorf("%d samples from %d bytes", total, len(b))
		}
	})
}
