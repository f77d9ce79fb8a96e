package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/creack/pty"
	"golang.org/x/sys/unix"
	"golang.org/x/term"

	"bayhand/recall/keep"
	"bayhand/recall/serve"
)

// midiCable is a cable whose near end is a raw MIDI device's.
func midiCable(t *testing.T) (far *os.File, port string) {
	t.Helper()
	far, near, err := pty.Open()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := term.MakeRaw(int(near.Fd())); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { far.Close(); near.Close() })
	return far, "rawmidi:" + near.Name()
}

const midiStudio = `studio: Remote room
gear:
  interface: {outputs: {out1-2: pro-line}, inputs: {in1-2: pro-line}}
  plate: {inputs: {in1: pro-line}, outputs: {out1: pro-line}, passes: [in1 -> out1], midi: {port: "%s", channel: 3, first: 1}}
matrices:
  grid: {inputs: 3, outputs: 3, device: {description: line-switch, link: "rawmidi:none"}}
wiring:
  - interface/out1-2 -> grid/in1-2
  - plate/out1 -> grid/in3
  - grid/out1-2 -> interface/in1-2
  - grid/out3 -> plate/in1
control: {port: "%s", channel: 16}
`

// midiRoom runs command lines with files of its own.
type midiRoom struct {
	t      *testing.T
	folder string
	ctx    context.Context
}

func (r midiRoom) start(args ...string) (end func()) {
	ctx, stop := context.WithCancel(r.ctx)
	ended := make(chan int)
	a := newApp(strings.NewReader(""), io.Discard, testWriter{r.t})
	go func() {
		ended <- a.run(ctx, append(args, "--studio", filepath.Join(r.folder, "studio.yaml"), "--state", filepath.Join(r.folder, "state")))
	}()
	return func() {
		stop()
		if status := <-ended; status != 0 {
			r.t.Errorf("bayhand %s ended with %d", args[0], status)
		}
	}
}

type testWriter struct{ t *testing.T }

func (w testWriter) Write(p []byte) (int, error) {
	w.t.Log(strings.TrimSpace(string(p)))
	return len(p), nil
}

// until asks the daemon until its status is as wanted.
func (r midiRoom) until(wanted func(keep.Status) bool) keep.Status {
	r.t.Helper()
	again := time.NewTicker(20 * time.Millisecond)
	defer again.Stop()
	var last keep.Status
	for range 3000 {
		<-again.C
		client, err := serve.Find(r.ctx, filepath.Join(r.folder, "state"))
		if err != nil {
			continue
		}
		last, err = client.Status(r.ctx)
		client.Close()
		if err == nil && wanted(last) {
			return last
		}
	}
	r.t.Fatalf("the room did not become so: %+v", last)
	return last
}

// The whole way: a foot switch on a cable, the daemon, a matrix, and gear at the
// end of another cable. The bytes are those of MIDI 1.0, Bank Select and Program
// Change.
func TestRemote(t *testing.T) {
	pedal, control := midiCable(t)
	plate, gear := midiCable(t)
	r := midiRoom{t: t, folder: t.TempDir(), ctx: t.Context()}
	for name, text := range map[string]string{
		"studio.yaml":          strings.Replace(fmt.Sprintf(midiStudio, gear, control), "rawmidi:none", "serial:"+filepath.Join(r.folder, "grid"), 1),
		"sessions/dry.yaml":    "session: Dry\nprogram: 12\nconnect: [interface/out1 -> interface/in1]\n",
		"sessions/wet.yaml":    "session: Wet\nprogram: 12\nbank: 300\nconnect: [interface/out1 -> plate/in1, plate/out1 -> interface/in1]\nprograms: {plate: 8}\n",
		"sessions/decoy.yaml":  "session: Decoy\nprogram: 7\nconnect: [interface/out2 -> interface/in2]\n",
		"sessions/broken.yaml": "session: Broken\nprogram: 200\n",
	} {
		file := filepath.Join(r.folder, name)
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	defer r.start("simulate", "line-switch", "--size", "3x3", "--listen", "pty:"+filepath.Join(r.folder, "grid"))()
	defer r.start("daemon", "--http", "127.0.0.1:0")()

	given := func(session string, recalls uint64) func(keep.Status) bool {
		return func(s keep.Status) bool {
			return s.Session == session && s.Phase == keep.Given && s.Recall == recalls
		}
	}
	press := func(bytes string) {
		if _, err := pedal.WriteString(bytes); err != nil {
			t.Fatal(err)
		}
	}
	press("\xCF\x0C")
	r.until(given("dry", 1))

	press("\xBF\x00\x02\x20\x2C\xCF\x0C")
	got := make([]byte, 20)
	n, err := plate.Read(got)
	if err != nil || string(got[:n]) != "\xC2\x07" {
		t.Errorf("the plate hears % X, %v", got[:n], err)
	}
	// By then the crosspoints are switched and read back.
	if s := r.until(func(s keep.Status) bool { return true }); !given("wet", 2)(s) {
		t.Errorf("when the plate hears its program the room is in %s, %s", s.Session, s.Phase)
	}
	// What was sent comes back, on its own channel and on that of the control port,
	// where a session has that program; and a program that no session has.
	press("\xC2\x07\xC2\x07\xCF\x63\xBF\x00\x00\x20\x00\xCF\x0C")
	r.until(given("dry", 3))
	// Nothing else was sent to the plate, and nothing at all to the pedal.
	for name, far := range map[string]*os.File{"plate": plate, "pedal": pedal} {
		if n := waiting(t, far); n > 0 {
			t.Errorf("%d bytes more came to the %s", n, name)
		}
	}
}

// waiting is how many bytes wait to be read.
func waiting(t *testing.T, file *os.File) int {
	t.Helper()
	n, err := unix.IoctlGetInt(int(file.Fd()), unix.TIOCINQ)
	if err != nil {
		t.Fatal(err)
	}
	return n
}
