package matrix_test

import (
	"bufio"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"bayhand/drivers/matrix"
	"bayhand/model/studio"
)

// A device of a few lines of shell behind a line of socat's. What it answers is
// copied from the standards: SCPI-1999 vol. 1, 8.3.2, vol. 2, 21.8.8, and IEEE
// 488.2-1992, 8.7.9.
const shellDevice = `
while read -r line; do
	printf '%s\n' "$line" >>"$1"
	case $line in
	'*OPC?') echo 1 ;;
	'*IDN?') echo 'Invented,Relays,0,0' ;;
	'ROUT:CLOS:STAT?') echo '#210(@1!2,3!4)' ;;
	'SYST:ERR?') if test -e "$1.refuse"; then rm "$1.refuse"; echo '-222,"Data out of range"'; else echo '0,"No error"'; fi ;;
	'ROUT:OPEN (@1!1)') ;;
	'ROUT:CLOS (@1!2,3!4)') ;;
	'ROUT:CLOS (@16!16)') touch "$1.refuse" ;;
	*) echo "unexpected: $line" ;;
	esac
done
`

func shellMatrix(t *testing.T) (path, diary string, stop func()) {
	t.Helper()
	socat, err := exec.LookPath("socat")
	if err != nil {
		if os.Getenv("BAYHAND_PEERS") == "require" {
			t.Fatal("BAYHAND_PEERS requires socat, and it is not installed")
		}
		t.Skip("socat is not installed")
	}
	folder := t.TempDir()
	path, diary = filepath.Join(folder, "line"), filepath.Join(folder, "diary")
	script := filepath.Join(folder, "device.sh")
	if err := os.WriteFile(script, []byte(shellDevice), 0o600); err != nil {
		t.Fatal(err)
	}
	command := exec.Command(socat, "-d", "-d", "pty,raw,echo=0,link="+path, "EXEC:sh "+script+" "+diary)
	log, err := command.StderrPipe()
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
	lines := bufio.NewScanner(log)
	for lines.Scan() {
		if strings.Contains(lines.Text(), "starting data transfer loop") {
			go io.Copy(io.Discard, log)
			return path, diary, stop
		}
	}
	t.Fatal("socat did not start")
	return "", "", nil
}

func TestShellDevice(t *testing.T) {
	path, diary, stop := shellMatrix(t)
	m := open(t, patient(t, "scpi-switch"), grid(16, 16, studio.Contacts), "serial:"+path)
	if identity, err := m.Identify(t.Context()); err != nil || identity != "Invented,Relays,0,0" {
		t.Errorf("Identify = %q, %v", identity, err)
	}
	if err := m.Switch(t.Context(), points("1-1"), points("3-4 1-2")); err != nil {
		t.Error(err)
	}
	wantRead(t, m, "1-2 3-4")
	if err := m.Switch(t.Context(), nil, points("16-16")); !errors.Is(err, matrix.ErrRefused) {
		t.Errorf("the refusal was read as %v", err)
	}
	heard, err := os.ReadFile(diary)
	if err != nil {
		t.Fatal(err)
	}
	const want = "*OPC?\n*IDN?\nSYST:ERR?\nROUT:OPEN (@1!1)\n*OPC?\nSYST:ERR?\nROUT:CLOS (@1!2,3!4)\n*OPC?\nSYST:ERR?\n" +
		"ROUT:CLOS:STAT?\nROUT:CLOS:STAT?\nSYST:ERR?\nROUT:CLOS (@16!16)\n*OPC?\nSYST:ERR?\nSYST:ERR?\n"
	if string(heard) != want {
		t.Errorf("the device heard\n%s\nwant\n%s", heard, want)
	}
	stop()
	if read, err := m.Read(t.Context()); !errors.Is(err, matrix.ErrGone) {
		t.Errorf("of a device that was pulled out was read %v, %v", read, err)
	}
}
