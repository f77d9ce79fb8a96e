//go:build unix

package main

import (
	"bytes"
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"bayhand/drivers/descriptions/shipped"
	"bayhand/simulators/line"
)

const killedStudio = `studio: A small room
gear:
  interface: {outputs: {out1-2: pro-line}, inputs: {in1-2: pro-line}, sound: {link: "practice:real.yaml"}}
  speakers: {inputs: {in1: pro-line}, role: loudspeaker, mute: {by: grid/out1}}
bays:
  main: {pairs: 2, modes: isolated}
matrices:
  grid: {inputs: 2, outputs: 3, device: {description: scpi-switch, link: "tcp:GRID"}}
wiring:
  - interface/out1-2 -> main/t1-2
  - main/b1-2 -> grid/in1-2
  - grid/out1 -> speakers/in1
  - grid/out2-3 -> interface/in1-2
`

// deathbed is a room whose matrix is simulated here, in which the program is run and ended.
type deathbed struct {
	*testing.T
	dir    string
	device line.Options
	// mu guards the fields below.
	mu sync.Mutex
	// heard counts what came over the line since the process began, in pieces; at the
	// piece number at, 0 for never, kill is called.
	heard, at int
	kill      func()
}

func newDeathbed(t *testing.T) *deathbed {
	t.Helper()
	b := &deathbed{T: t, dir: t.TempDir()}
	var err error
	d := shipped.Named(t, "scpi-switch")
	b.device = line.Options{Description: d, Inputs: 2, Outputs: 3, Listen: "tcp:127.0.0.1:0", Traffic: b.passed}
	if b.device.Matrix, err = line.NewMatrix(b.device); err != nil {
		t.Fatal(err)
	}
	where := make(chan string, 1)
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- line.Serve(ctx, b.device, func(at string) { where <- at }) }()
	t.Cleanup(func() {
		stop()
		<-ended
	})
	b.write("studio.yaml", strings.ReplaceAll(killedStudio, "tcp:GRID", <-where))
	b.write("sessions/mix.yaml", "session: Mix\nconnect: [interface/out1 -> interface/in1, interface/out1 -> speakers/in1]\n")
	b.write("real.yaml", "patch:\n  cords: [main/t1 - main/b2, main/t2 - main/b1]\n  crosspoints: {grid: {out1: in1, out2: in1}}\n")
	this, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(this, filepath.Join(b.dir, "bayhand")); err != nil {
		t.Fatal(err)
	}
	return b
}

func (b *deathbed) write(file, content string) {
	b.Helper()
	path := filepath.Join(b.dir, file)
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		b.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(content), 0o644); err != nil {
		b.Fatal(err)
	}
}

// passed counts what passes on the line, and ends the process where it is due.
func (b *deathbed) passed(line.Traffic) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.heard++; b.heard == b.at {
		b.kill()
	}
}

// run runs the program; after the piece at on the line it is sent a signal, as much later
// as after says. What it said, and its status, which is negative where the signal ended it.
func (b *deathbed) run(at int, after time.Duration, signal syscall.Signal, args ...string) (said string, status int) {
	b.Helper()
	c := exec.Command(filepath.Join(b.dir, "bayhand"), args...)
	c.Dir = b.dir
	c.Env = append(os.Environ(), "XDG_STATE_HOME="+filepath.Join(b.dir, "state"), "GORACE=atexit_sleep_ms=20")
	var out bytes.Buffer
	c.Stdout, c.Stderr = &out, &out
	if err := c.Start(); err != nil {
		b.Fatal(err)
	}
	b.mu.Lock()
	b.heard, b.at = 0, at
	b.kill = func() { time.AfterFunc(after, func() { _ = c.Process.Signal(signal) }) } // it may have ended
	b.mu.Unlock()
	_ = c.Wait() // the status says it
	return out.String(), c.ProcessState.ExitCode()
}

func (b *deathbed) state() string { return fmt.Sprint(b.device.Matrix.State()) }

// The program is killed while it listens to the room with a loudspeaker muted and a
// crosspoint switched for a moment: whenever that is, the next command finds the matrix as
// it was, or puts it back. Told to end, it puts all back itself. BAYHAND_KILLS says how
// often: 500 is the long form; BAYHAND_FROM draws others.
func TestVerifyKilled(t *testing.T) {
	kills, pieces := 2, 36
	if asked, err := strconv.Atoi(os.Getenv("BAYHAND_KILLS")); err == nil {
		kills = asked
	}
	b := newDeathbed(t)
	for _, args := range [][]string{{"plug", "main/t1", "main/b1"}, {"plug", "main/t2", "main/b2"}, {"recall", "mix", "--leave"}} {
		if said, status := b.run(0, 0, 0, args...); status != 0 {
			t.Fatalf("%v: %d\n%s", args, status, said)
		}
	}
	was := b.state()
	if kills > 2 {
		said, status := b.run(0, 0, 0, "verify", "--yes", "--probe")
		if status != 1 || !strings.Contains(said, "probed: ") || b.state() != was {
			t.Fatalf("left alone: %d, %s, and not %s\n%s", status, b.state(), was, said)
		}
		b.mu.Lock()
		pieces = b.heard
		b.mu.Unlock()
	}
	from, _ := strconv.ParseUint(os.Getenv("BAYHAND_FROM"), 10, 64)
	r := rand.New(rand.NewPCG(17, 500+from))
	var otherwise, ended, left int
	for n := range kills {
		at, after, signal := 1+r.IntN(pieces), time.Duration(r.IntN(400))*time.Millisecond, syscall.SIGKILL
		if n%4 == 0 {
			signal = syscall.SIGTERM
		}
		if kills == 2 { // an ordinary run ends it once while a loudspeaker is muted, and kills it once
			at, after = pieces*2/3, 0
		}
		said, status := b.run(at, after, signal, "verify", "--yes", "--probe")
		switch {
		case status == 1 && strings.Contains(said, "probed: "):
			left++ // it came to its end before
		case signal == syscall.SIGTERM:
			ended++
			if b.state() != was {
				t.Errorf("ended at piece %d of %d: %s, and not %s\n%s", at, pieces, b.state(), was, said)
			}
		case b.state() != was:
			otherwise++
		}
		if said, status := b.run(0, 0, 0, "recall", "mix", "--leave"); status != 0 || b.state() != was {
			t.Errorf("killed at piece %d of %d by %v: the next start says %d, and leaves %s, not %s\n%s", at, pieces, signal, status, b.state(), was, said)
		}
	}
	t.Logf("%d times, %d pieces on the line: %d were told to end, %d left the matrix otherwise, %d came to their end before", kills, pieces, ended, otherwise, left)
}
