package guest_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// The machine takes a minute or more, since it is emulated; so it is booted only
// where BAYHAND_GUEST asks for it.
func TestInTheMachine(t *testing.T) {
	if asked := os.Getenv("BAYHAND_GUEST"); asked == "" || asked == "inside" {
		t.Skip("BAYHAND_GUEST does not ask for the machine")
	}
	bay := t.TempDir()
	for _, build := range [][]string{
		{"build", "-o", filepath.Join(bay, "bayhand"), "bayhand/cmd/bayhand"},
		{"test", "-c", "-o", filepath.Join(bay, "tests"), "."},
	} {
		c := exec.Command("go", build...)
		c.Env = append(os.Environ(), "CGO_ENABLED=0")
		if out, err := c.CombinedOutput(); err != nil {
			t.Fatalf("go %s: %v\n%s", strings.Join(build, " "), err, out)
		}
	}
	seconds := os.Getenv("BAYHAND_SOUND_SECONDS") // of each rate; see TestInsideSoundIsExact
	outside, inside := "400", "300s"
	if seconds != "" { // it plays for minutes, and the machine is slow
		outside, inside = "2400", "1200s"
	}
	run := "#!/bin/busybox sh\nBAYHAND_SOUND_SECONDS=" + seconds + " BAYHAND_PEERS=" + os.Getenv("BAYHAND_PEERS") + " BAYHAND_GUEST=inside exec ./tests -test.run Inside -test.v -test.failfast -test.timeout " + inside + "\n"
	if err := os.WriteFile(filepath.Join(bay, "run"), []byte(run), 0o755); err != nil {
		t.Fatal(err)
	}
	boot := exec.Command("./boot.sh", bay)
	boot.Env = append(os.Environ(), "GUEST_SECONDS="+outside)
	out, err := boot.CombinedOutput()
	t.Logf("%s", out)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(string(out), "--- PASS: TestInside") {
		t.Error("nothing was tried inside")
	}
}
