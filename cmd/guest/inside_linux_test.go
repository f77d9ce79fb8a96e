package guest_test

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"bayhand/recall/keep"
	"bayhand/recall/serve"
	"bayhand/simulators/matrix"
)

const boathouse = `studio: Boathouse lines
gear:
  interface: {outputs: {out1-8: pro-line}, inputs: {in1-8: pro-line}}
matrices:
  uart: {inputs: 2, outputs: 2, device: {description: line-switch, link: "serial:/dev/ttyS1"}}
  usb: {inputs: 2, outputs: 2, device: {description: line-switch, link: "serial:/dev/ttyACM0"}}
  shared: {inputs: 2, outputs: 2, device: {description: midi-exclusive, link: "midi:Boathouse Lines"}}
  raw: {inputs: 2, outputs: 2, device: {description: midi-exclusive, link: "rawmidi:/dev/snd/midiC0D1"}}
wiring:
  - interface/out1-2 -> uart/in1-2
  - uart/out1-2 -> interface/in1-2
  - interface/out3-4 -> usb/in1-2
  - usb/out1-2 -> interface/in3-4
  - interface/out5-6 -> shared/in1-2
  - shared/out1-2 -> interface/in5-6
  - interface/out7-8 -> raw/in1-2
  - raw/out1-2 -> interface/in7-8
control: {port: "midi:VirMIDI 0-0", channel: 16}
`

const (
	straight = "session: Straight\nprogram: 1\nconnect: [interface/out1 -> interface/in1, interface/out3 -> interface/in3, interface/out5 -> interface/in5, interface/out7 -> interface/in7]\n"
	crossed  = "session: Crossed\nprogram: 2\nconnect: [interface/out2 -> interface/in1, interface/out4 -> interface/in3, interface/out6 -> interface/in5, interface/out8 -> interface/in7]\n"
)

// inside is the studio with its four matrices.
type inside struct {
	*testing.T
	folder string
	states map[string]*matrix.Matrix
	last   keep.Status
}

// Recall over each link, a control port that recalls, matrices that are turned by
// hand, and a USB device that is pulled and put back.
func TestInsideTheMachine(t *testing.T) {
	if os.Getenv("BAYHAND_GUEST") != "inside" {
		t.Skip("this is not the machine")
	}
	in := &inside{T: t, folder: t.TempDir(), states: map[string]*matrix.Matrix{}}
	in.usb("plug")
	in.begin()

	in.bayhand("recall", "straight")
	in.given("straight", 1)
	in.press("\xCF\x02") // MIDI 1.0: Program Change 2 on channel 16
	in.given("crossed", 2)

	for name, state := range in.states {
		if err := state.Set(matrix.Front, matrix.Crosspoint{Output: 1, Input: 1}); err != nil {
			t.Fatal(err)
		}
		in.until(name+" is put back", func() bool { return state.Listens(1) == 2 })
	}
	in.given("crossed", 2)

	in.usb("unplug")
	in.until("what was pulled does not answer", func() bool {
		return !in.answers("usb") && !in.answers("shared") && in.answers("uart") && in.answers("raw")
	})
	in.usb("plug")
	in.until("what was put back answers", func() bool { return in.answers("usb") && in.answers("shared") })
	in.press("\xCF\x01")
	in.given("straight", 1)
}

func (in *inside) begin() {
	for name, text := range map[string]string{"studio.yaml": boathouse, "sessions/straight.yaml": straight, "sessions/crossed.yaml": crossed} {
		file := filepath.Join(in.folder, name)
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			in.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			in.Fatal(err)
		}
	}
	for name, far := range map[string]func() string{
		"uart":   func() string { return "/dev/ttyS2" },
		"usb":    func() string { return "/dev/ttyGS0" },
		"shared": cardNamed("f_midi"),
	} {
		description, kind := "line-switch", "pty"
		if name == "shared" {
			description, kind = "midi-exclusive", "rawmidi"
		}
		go join(in.Context(), in.simulate(name, description, kind), far)
	}
	joinPorts(in.T, in.simulate("raw", "midi-exclusive", "rawmidi"), "VirMIDI 0-1")
	daemon := in.command("daemon", "--http", "127.0.0.1:0")
	if err := daemon.Start(); err != nil {
		in.Fatal(err)
	}
	in.Cleanup(func() {
		_ = daemon.Process.Signal(os.Interrupt) // one that has ended is told by Wait
		if err := daemon.Wait(); err != nil {
			in.Errorf("the daemon ended with %v", err)
		}
	})
	in.until("all answer", func() bool {
		return in.answers("uart") && in.answers("usb") && in.answers("shared") && in.answers("raw")
	})
}

// simulate begins a matrix, and returns the terminal that it is at.
func (in *inside) simulate(name, description, kind string) (terminal string) {
	in.states[name], terminal = simulate(in.T, description, kind)
	return terminal
}

func (in *inside) command(args ...string) *exec.Cmd {
	c := exec.Command("./bayhand", append(args, "--studio", filepath.Join(in.folder, "studio.yaml"), "--state", filepath.Join(in.folder, "state"))...)
	c.Stdout, c.Stderr = os.Stdout, os.Stderr
	return c
}

func (in *inside) bayhand(args ...string) {
	in.Helper()
	if err := in.command(args...).Run(); err != nil {
		in.Fatalf("bayhand %s: %v", strings.Join(args, " "), err)
	}
}

// usb plugs the USB device in or pulls it.
func (in *inside) usb(how string) {
	in.Helper()
	if out, err := exec.Command("/bin/" + how).CombinedOutput(); err != nil {
		in.Fatalf("%s: %v\n%s", how, err, out)
	}
}

// press is a foot switch on the control port's cable.
func (in *inside) press(bytes string) {
	in.Helper()
	if err := os.WriteFile("/dev/snd/midiC0D0", []byte(bytes), 0); err != nil {
		in.Fatal(err)
	}
}

func (in *inside) answers(name string) bool {
	for _, m := range in.last.Matrices {
		if m.Name == name {
			return m.Answers
		}
	}
	return false
}

// given waits until a session is, and each matrix itself has its first output
// hear an input.
func (in *inside) given(session string, input matrix.Input) {
	in.Helper()
	in.until(session+" is given", func() bool {
		for _, state := range in.states {
			if state.Listens(1) != input {
				return false
			}
		}
		return in.last.Session == session && in.last.Phase == keep.Given
	})
}

// until asks the daemon until something holds, for half a minute.
func (in *inside) until(what string, holds func() bool) {
	in.Helper()
	began := time.Now()
	again := time.NewTicker(100 * time.Millisecond)
	defer again.Stop()
	for range 300 {
		<-again.C
		client, err := serve.Find(in.Context(), filepath.Join(in.folder, "state"))
		if err != nil {
			continue
		}
		in.last, err = client.Status(in.Context())
		client.Close()
		if err == nil && holds() {
			fmt.Printf("%s after %.1f s\n", what, time.Since(began).Seconds())
			return
		}
	}
	in.Fatalf("never: %s; %+v, %+v", what, in.last.Matrices, in.last.Problems)
}
