package link

import (
	"bufio"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// socat is a general-purpose program that moves bytes between lines of any
// kind: both ends of this test's line are made by it, and not by this project.
func socat(t *testing.T, arguments ...string) (stop func()) {
	t.Helper()
	path, err := exec.LookPath("socat")
	if err != nil {
		if os.Getenv("BAYHAND_PEERS") == "require" {
			t.Fatal("BAYHAND_PEERS requires socat, and it is not installed")
		}
		t.Skip("socat is not installed")
	}
	command := exec.Command(path, append([]string{"-d", "-d"}, arguments...)...)
	diary, err := command.StderrPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := command.Start(); err != nil {
		t.Fatal(err)
	}
	stopped := false
	stop = func() {
		if !stopped {
			stopped = true
			command.Process.Kill() // it may have ended by itself
			command.Wait()
		}
	}
	t.Cleanup(stop)
	lines := bufio.NewScanner(diary)
	for lines.Scan() {
		if strings.Contains(lines.Text(), "starting data transfer loop") {
			go io.Copy(io.Discard, diary)
			return stop
		}
	}
	t.Fatal("socat did not start")
	return nil
}

func TestSocatLine(t *testing.T) {
	folder := t.TempDir()
	a, b := filepath.Join(folder, "a"), filepath.Join(folder, "b")
	stop := socat(t, "pty,raw,echo=0,link="+a, "pty,raw,echo=0,link="+b)
	near, other := mustOpen(t, "serial:"+a+"?baud=115200"), mustOpen(t, "rawmidi:"+b)
	exchange(t, near, other)
	deadline(t, near)
	exchange(t, near, other)
	stop()
	gone(t, near)
	gone(t, other)
}
