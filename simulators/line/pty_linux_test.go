package line

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"golang.org/x/sys/unix"
	"golang.org/x/term"

	"bayhand/simulators/matrix"
)

func openLink(t *testing.T, where string) *os.File {
	t.Helper()
	_, path, _ := strings.Cut(where, ":")
	f, err := os.OpenFile(path, os.O_RDWR|unix.O_NOCTTY|unix.O_NONBLOCK, 0)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	if err := f.SetDeadline(time.Now().Add(time.Minute)); err != nil {
		t.Fatal(err)
	}
	return f
}

func pts(t *testing.T, f matrix.Faults) Options {
	return Options{Description: switcher(), Inputs: 4, Outputs: 4, Listen: "pty:" + filepath.Join(t.TempDir(), "grid"), Faults: f}
}

func TestPTYOutlivesItsClients(t *testing.T) {
	o := pts(t, matrix.Faults{})
	where, end := serveUntil(t, o)
	if where != o.Listen {
		t.Fatalf("it says it is at %q", where)
	}
	for _, c := range []struct{ ask, answer string }{
		{"CLOS (@4!4);:SYST:ERR?\r\n", "0,\"No error\"\n"},
		{"CLOS:STAT?\n", "#16(@4!4)\n"},
		{"*OPC?\n", "1\n"},
	} {
		terminal := openLink(t, where)
		if got := ask(t, terminal, c.ask); got != c.answer {
			t.Errorf("%q brings %q, not %q", c.ask, got, c.answer)
		}
		terminal.Close()
	}
	end()
	if _, err := os.Lstat(strings.TrimPrefix(where, "pty:")); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("the link is left behind: %v", err)
	}
}

// Raw mode: no byte is changed, echoed or taken for a signal.
func TestPTYIsRaw(t *testing.T) {
	o := Options{Description: selector(), Inputs: 127, Outputs: 127, Listen: "rawmidi:" + filepath.Join(t.TempDir(), "midi")}
	terminal := openLink(t, serve(t, o))
	// 3 is Ctrl-C, 4 the end of a file, 13 a return, 17 and 19 hold and go, 26 Ctrl-Z.
	for _, b := range []byte{3, 4, 10, 13, 17, 19, 26, 127} {
		tell(t, terminal, string([]byte{0xB0, b, b}))
		if got := take(t, terminal, 5); got != string([]byte{0xF0, 0x7D, b, b, 0xF7}) {
			t.Errorf("byte %d comes back as % X", b, got)
		}
	}
	if !term.IsTerminal(int(terminal.Fd())) {
		t.Error("it is no terminal")
	}
}

// On a serial line a restart hangs nothing up.
func TestARestartOnAPTY(t *testing.T) {
	terminal := openLink(t, serve(t, pts(t, matrix.Faults{Reboot: 2})))
	ask(t, terminal, "*CLS;CLOS (@1!1);*OPC?\n")
	tell(t, terminal, "*OPC?\n") // it restarts and says nothing
	if got := ask(t, terminal, "*ESR?;CLOS? (@1!1)\n"); got != "128;0\n" {
		t.Errorf("after it: %q", got)
	}
}

func TestEndingAtOnceOnAPTY(t *testing.T) {
	for range 20 {
		where, end := serveUntil(t, pts(t, matrix.Faults{}))
		terminal := openLink(t, where)
		tell(t, terminal, "*IDN?\n*IDN") // an answer unread, a message unfinished
		end()
		terminal.Close()
	}
}

// Nobody reads the answers: they are lost, and the device still ends at once.
func TestAPTYThatNobodyReads(t *testing.T) {
	where, end := serveUntil(t, pts(t, matrix.Faults{}))
	terminal := openLink(t, where)
	for range 200 {
		if _, err := terminal.WriteString("*IDN?\n"); err != nil {
			t.Fatal(err)
		}
	}
	end()
}

func TestPathsInTheWay(t *testing.T) {
	folder := t.TempDir()
	file := filepath.Join(folder, "file")
	if err := os.WriteFile(file, []byte("mine"), 0o600); err != nil {
		t.Fatal(err)
	}
	elsewhere := filepath.Join(folder, "elsewhere")
	if err := os.Symlink(file+"-gone", elsewhere); err != nil {
		t.Fatal(err)
	}
	for path, says := range map[string]string{
		file:                                  "choose a path where nothing is yet",
		elsewhere:                             "choose a path where nothing is yet",
		filepath.Join(folder, "none", "grid"): "in a folder that exists",
	} {
		o := pts(t, matrix.Faults{})
		o.Listen = "pty:" + path
		if err := Serve(t.Context(), o, nil); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: %v", path, err)
		}
	}
	if kept, err := os.ReadFile(file); err != nil || string(kept) != "mine" {
		t.Errorf("the file holds %q, %v", kept, err)
	}
	// What a simulator that was killed left behind is replaced.
	stale := filepath.Join(folder, "stale")
	if err := os.Symlink(ptyFolder+"999999", stale); err != nil {
		t.Fatal(err)
	}
	o := pts(t, matrix.Faults{})
	o.Listen = "pty:" + stale
	if got := ask(t, openLink(t, serve(t, o)), "*OPC?\n"); got != "1\n" {
		t.Errorf("got %q", got)
	}
}

// A link that somebody else has put in its place since is left alone.
func TestOnlyItsOwnLinkIsRemoved(t *testing.T) {
	o := pts(t, matrix.Faults{})
	where, end := serveUntil(t, o)
	path := strings.TrimPrefix(where, "pty:")
	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte("mine"), 0o600); err != nil {
		t.Fatal(err)
	}
	end()
	if kept, err := os.ReadFile(path); err != nil || string(kept) != "mine" {
		t.Errorf("the file holds %q, %v", kept, err)
	}
}
