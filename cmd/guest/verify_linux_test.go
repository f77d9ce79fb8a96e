package guest_test

import (
	"bytes"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// The room of the loopback: each of CHANNELS outputs is heard at the input of its number.
const heardBack = `studio: Loopback
gear:
  interface: {outputs: {out1-CHANNELS: pro-line}, inputs: {in1-CHANNELS: pro-line}, sound: {link: "alsa:hw:Loopback,0+hw:Loopback,1"}}
bays:
  main: {pairs: CHANNELS, modes: half-normal}
wiring:
  - interface/out1-CHANNELS -> main/t1-CHANNELS
  - main/b1-CHANNELS -> interface/in1-CHANNELS
`

// channels are as many as the loopback has in the long form, and fewer else: the machine
// reads them slowly.
func channels() string {
	if os.Getenv("BAYHAND_SOUND_SECONDS") != "" {
		return "32"
	}
	return "4"
}

// listener is a folder in which the room of the loopback is listened to.
type listener struct {
	*testing.T
	folder string
}

func newListener(t *testing.T) listener {
	t.Helper()
	l := listener{t, t.TempDir()}
	for name, text := range map[string]string{"studio.yaml": strings.ReplaceAll(heardBack, "CHANNELS", channels()), "right.yaml": "patch:\n  cords: []\n",
		"wrong.yaml": "patch:\n  cords: [main/t2 - main/b3, main/t3 - main/b2]\n"} {
		if err := os.WriteFile(filepath.Join(l.folder, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return l
}

// verify ends with an exit status, and says things.
func (l listener) verify(status int, says string, args ...string) {
	l.Helper()
	var said bytes.Buffer
	c := exec.Command("./bayhand", append([]string{"verify", "--studio", filepath.Join(l.folder, "studio.yaml"), "--state", filepath.Join(l.folder, "state"), "--yes"}, args...)...)
	c.Stdout, c.Stderr = &said, &said
	err := c.Run()
	var ended *exec.ExitError
	got := 0
	if errors.As(err, &ended) {
		got = ended.ExitCode()
	}
	l.Logf("%s", &said)
	if got != status || !strings.Contains(said.String(), says) {
		l.Errorf("verify %v ended with %d, not %d, or does not say %q", args, got, status, says)
	}
}

// The room is listened to by the device: right, and with two cords swapped; in both
// passes in the long form, and quietly else.
func TestInsideVerify(t *testing.T) {
	onlyInside(t)
	l := newListener(t)
	right, wrong := filepath.Join(l.folder, "right.yaml"), filepath.Join(l.folder, "wrong.yaml")
	if os.Getenv("BAYHAND_SOUND_SECONDS") != "" {
		l.verify(0, "the room is as reported", "--patch", right)
	}
	l.verify(0, "the room is as reported", "--quiet", "--patch", right)
	l.verify(1, "swapped at one end", "--quiet", "--patch", wrong)
}

// A recording that another program made is read: test sound in a file, played and
// recorded by the tools of ALSA.
func TestInsideRecordedByOthers(t *testing.T) {
	onlyInside(t)
	if _, err := os.Stat("/bin/arecord"); err != nil {
		if os.Getenv("BAYHAND_PEERS") == "require" {
			t.Fatal("arecord is missing")
		}
		t.Skip("arecord is not in this machine")
	}
	l := newListener(t)
	test, recorded := filepath.Join(l.folder, "test.wav"), filepath.Join(l.folder, "recorded.wav")
	right := filepath.Join(l.folder, "right.yaml")
	l.verify(0, channels()+" outputs", "--patch", right, "--write", test)
	play := exec.Command("/bin/aplay", "-q", "-D", "hw:1,0", "--buffer-time=500000", test)
	record := exec.Command("/bin/arecord", "-q", "-D", "hw:1,1", "--buffer-time=500000", "-c", channels(), "-r", "48000", "-f", "S24_3LE", "-d", "9", recorded)
	for _, c := range []*exec.Cmd{play, record} {
		c.Stdout, c.Stderr = os.Stdout, os.Stderr
	}
	if err := record.Start(); err != nil {
		t.Fatal(err)
	}
	if err := play.Run(); err != nil {
		t.Errorf("aplay: %v", err)
	}
	if err := record.Wait(); err != nil {
		t.Errorf("arecord: %v", err)
	}
	l.verify(0, "the room is as reported", "--patch", right, "--read", recorded)
}
