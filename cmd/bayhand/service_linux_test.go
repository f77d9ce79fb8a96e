package main

import (
	"bytes"
	"context"
	"io"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"bayhand/cmd/bayhand/install"
	"bayhand/model/planner"
	"bayhand/model/studio"
	"bayhand/recall/journal"
	"bayhand/recall/keep"
)

// The words of sd_notify(3), as a supervisor reads them at its socket.
func TestSupervised(t *testing.T) {
	at := filepath.Join(t.TempDir(), "notify")
	socket, err := net.ListenUnixgram("unixgram", &net.UnixAddr{Name: at, Net: "unixgram"})
	if err != nil {
		t.Fatal(err)
	}
	defer socket.Close()
	t.Setenv("NOTIFY_SOCKET", at)
	t.Setenv("WATCHDOG_USEC", strconv.Itoa(int((100 * time.Millisecond).Microseconds())))
	keeper, err := keep.New(keep.Config{
		Open:    func(context.Context, studio.Matrix) (keep.Matrix, error) { return nil, net.ErrClosed },
		Load:    func(context.Context, []string) keep.Files { return keep.Files{} },
		Plan:    planner.Make,
		Journal: &journal.Fleeting{},
	})
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(t.Context())
	ended := make(chan error, 2)
	go func() { ended <- superviseFrom(ctx, keeper) }()
	hears := func() string {
		words := make([]byte, 100)
		if err := socket.SetReadDeadline(time.Now().Add(time.Minute)); err != nil {
			t.Fatal(err)
		}
		n, err := socket.Read(words)
		if err != nil {
			t.Fatal(err)
		}
		return string(words[:n])
	}
	if got := hears(); got != "READY=1" {
		t.Errorf("first it hears %q", got)
	}
	// Nobody runs the keeper yet, so nobody vouches for it.
	if err := socket.SetReadDeadline(time.Now().Add(300 * time.Millisecond)); err != nil {
		t.Fatal(err)
	}
	if n, err := socket.Read(make([]byte, 100)); err == nil {
		t.Errorf("it heard %d bytes of a keeper that does not come round", n)
	}
	go func() { ended <- keeper.Run(ctx) }()
	if got := hears(); got != "WATCHDOG=1" {
		t.Errorf("then it hears %q", got)
	}
	stop()
	for range 2 {
		if err := <-ended; err != nil {
			t.Error(err)
		}
	}
}

// systemd itself has nothing to say against the units, and finds the machine's one
// shut away (systemd-analyze(1): below 5 is "OK", 10 is "UNSAFE").
func TestUnitsAreSound(t *testing.T) {
	analyze := peer(t, "systemd-analyze")
	a := newApp(nil, io.Discard, io.Discard)
	a.files.at.Studio = filepath.Join(t.TempDir(), "studio.yaml")
	if err := os.WriteFile(a.files.at.Studio, []byte(smallStudio), 0o600); err != nil {
		t.Fatal(err)
	}
	a.room.stateDir = t.TempDir()
	for _, f := range []serviceFlags{{}, {as: "daemon"}} {
		unit, err := (&servicer{out: a.out, files: a.files, room: a.room}).unit(f)
		if err != nil {
			t.Fatal(err)
		}
		file := filepath.Join(t.TempDir(), "bayhand-test.service")
		if err := os.WriteFile(file, []byte(unit), 0o644); err != nil {
			t.Fatal(err)
		}
		if out, err := exec.Command(analyze, "--man=no", "verify", file).CombinedOutput(); err != nil || strings.Contains(string(out), "bayhand-test") {
			t.Errorf("as %q: %v\n%s", f.as, err, out)
		}
		if f.as == "" {
			continue
		}
		if out, err := exec.Command(analyze, "security", "--offline=true", "--threshold=30", file).CombinedOutput(); err != nil {
			t.Errorf("%v\n%s", err, out)
		}
	}
}

// So are those of the package.
func TestUnitsOfThePackageAreSound(t *testing.T) {
	analyze := peer(t, "systemd-analyze")
	files, err := install.Files(newApp(nil, io.Discard, io.Discard).root(), "1", hardening)
	if err != nil {
		t.Fatal(err)
	}
	for name, unit := range files {
		if filepath.Ext(name) != ".service" {
			continue
		}
		// The program is installed where the unit says; here it is the shell.
		file := filepath.Join(t.TempDir(), strings.Replace(filepath.Base(name), "@", "@heron", 1))
		if err := os.WriteFile(file, bytes.Replace(unit, []byte("/usr/bin/bayhand"), []byte("/bin/sh"), 1), 0o644); err != nil {
			t.Fatal(err)
		}
		if out, err := exec.Command(analyze, "--man=no", "verify", file).CombinedOutput(); err != nil || strings.Contains(string(out), "bayhand") {
			t.Errorf("%s: %v\n%s", name, err, out)
		}
		if !strings.Contains(name, "@") {
			continue
		}
		if out, err := exec.Command(analyze, "security", "--offline=true", "--threshold=30", file).CombinedOutput(); err != nil {
			t.Errorf("%s: %v\n%s", name, err, out)
		}
	}
}

func TestUnitWord(t *testing.T) {
	for word, want := range map[string]string{
		"/usr/bin/bayhand": "/usr/bin/bayhand",
		"/home/a b/s.yaml": `"/home/a b/s.yaml"`,
		`100%$"\`:          `"100%%$$\"\\"`,
	} {
		if got := unitWord(word); got != want {
			t.Errorf("%s is written %s, want %s", word, got, want)
		}
	}
}
