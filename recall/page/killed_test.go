package page

import (
	"bufio"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"bayhand/simulators/loopback"
)

const killedStudio = `studio: Effects room
gear:
  interface: {outputs: {out1-2: pro-line}, inputs: {in1-2: pro-line}}
  squeeze: {channels: 2, line: pro-line}
bays:
  main: {pairs: 4, modes: {1-4: isolated}}
wiring:
  - interface/out1-2 -> main/t1-2
  - squeeze/out1-2 -> main/t3-4
  - main/b1-2 -> interface/in1-2
  - main/b3-4 -> squeeze/in1-2
`

const killedSession = `session: Squeezed
connect:
  - interface/out1 -> squeeze/1 -> interface/in1
`

// A daemon whose process is killed under an open page: the page says so, and goes
// on without being loaded again once another is started, with what was told.
func TestDaemonKilled(t *testing.T) {
	t.Parallel()
	d := newDaemon(t)
	v := visit(t, desktop)
	kill := d.start()
	d.bayhand("recall", "squeezed")
	way, _, _ := strings.Cut(d.bayhand("page"), "\n")
	v.run(chromedp.Navigate(way))
	v.until(`document.querySelector("#tick-next")`)
	v.js(`window.notLoadedAgain = true`)
	v.click("#tick-next")
	v.until(`document.querySelector("#room").dataset.next === "2"`)
	kill()
	v.until(`!document.querySelector("#gone").hidden`)
	d.start()
	v.until(`document.querySelector("#gone").hidden && window.notLoadedAgain`)
	v.until(`document.querySelector("#room").dataset.next === "2"`)
	v.click("#tick-next")
	v.until(`document.querySelector("#room").dataset.next !== "2" && document.querySelector("#refused").hidden && window.notLoadedAgain`)
	if said := d.bayhand("cords"); !strings.Contains(said, ": ready") {
		t.Errorf("at the end: %s", said)
	}
}

// daemon is a room of one's own with the program that keeps it.
type daemon struct {
	t                     *testing.T
	folder, file, address string
}

func newDaemon(t *testing.T) *daemon {
	t.Helper()
	d := &daemon{t: t, folder: t.TempDir()}
	d.file = filepath.Join(d.folder, "bayhand")
	if out, err := exec.Command("go", "build", "-o", d.file, "bayhand/cmd/bayhand").CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	must := func(err error) {
		if err != nil {
			t.Fatal(err)
		}
	}
	must(os.Mkdir(filepath.Join(d.folder, "sessions"), 0o755))
	must(os.WriteFile(filepath.Join(d.folder, "studio.yaml"), []byte(killedStudio), 0o644))
	must(os.WriteFile(filepath.Join(d.folder, "sessions", "squeezed.yaml"), []byte(killedSession), 0o644))
	var err error
	d.address, err = loopback.Free()
	must(err)
	return d
}

func (d *daemon) command(args ...string) *exec.Cmd {
	c := exec.Command(d.file, append(args, "--state", filepath.Join(d.folder, "state"))...)
	c.Dir = d.folder
	return c
}

func (d *daemon) bayhand(args ...string) string {
	d.t.Helper()
	out, err := d.command(args...).CombinedOutput()
	if err != nil {
		d.t.Fatalf("bayhand %v: %v\n%s", args, err, out)
	}
	return string(out)
}

// start returns once the daemon greets, with what kills it and waits for its end.
func (d *daemon) start() (kill func()) {
	d.t.Helper()
	c := d.command("daemon", "--http", d.address)
	out, err := c.StdoutPipe()
	if err != nil {
		d.t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		d.t.Fatal(err)
	}
	gone := false
	kill = func() {
		if !gone {
			gone = true
			c.Process.Kill()
			c.Wait()
		}
	}
	d.t.Cleanup(kill)
	if !bufio.NewScanner(out).Scan() {
		d.t.Fatal("the daemon says nothing")
	}
	return kill
}
