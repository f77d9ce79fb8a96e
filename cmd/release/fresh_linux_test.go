package main

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// fresh is a Debian system in a folder, as chroot(2) shows it.
type fresh struct {
	t    *testing.T
	root string
}

// do runs a line of the shell in the system, as a user.
func (f fresh) do(as, line string) string {
	f.t.Helper()
	out, err := f.command(as, line).CombinedOutput()
	if err != nil {
		f.t.Fatalf("%s: %v\n%s", line, err, out)
	}
	return string(out)
}

func (f fresh) command(as, line string) *exec.Cmd {
	return exec.CommandContext(f.t.Context(), "chroot", f.root, "su", "-s", "/bin/sh", as, "-c", "cd /tmp && "+line)
}

func (f fresh) has(path string, want bool) {
	f.t.Helper()
	if _, err := os.Lstat(filepath.Join(f.root, path)); (err == nil) != want {
		f.t.Errorf("%s is there: %v, want %v", path, err == nil, want)
	}
}

// newFresh is a new system, made from Debian's archive as this machine reaches it.
// BAYHAND_FRESH names the folder of one that is there, or is "new".
func newFresh(t *testing.T) fresh {
	at := os.Getenv("BAYHAND_FRESH")
	if at == "" {
		t.Skip("BAYHAND_FRESH=new makes a system of its own and installs into it; it needs root, debootstrap and minutes")
	}
	if at == "new" {
		at = t.TempDir()
		archive, err := exec.Command("sh", "-c", `awk '/^URIs:/{print $2; exit}' /etc/apt/sources.list.d/*.sources`).Output()
		if err != nil {
			t.Fatal(err)
		}
		if out, err := exec.Command("debootstrap", "--variant=minbase", "--include=systemd,udev", "stable", at, strings.TrimSpace(string(archive))).CombinedOutput(); err != nil {
			t.Fatalf("%v\n%s", err, out)
		}
	}
	for _, folder := range []string{"proc", "dev"} {
		at := filepath.Join(at, folder)
		if err := syscall.Mount("/"+folder, at, "", syscall.MS_BIND|syscall.MS_REC, ""); err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() {
			if err := syscall.Unmount(at, syscall.MNT_DETACH); err != nil {
				t.Error(err)
			}
		})
	}
	return fresh{t, at}
}

// twoVersions are the packages of this program as two versions.
func twoVersions(t *testing.T, root string) {
	t.Chdir("../..")
	work := t.TempDir()
	program := filepath.Join(work, "bayhand")
	beside, err := besideProgram(t.Context(), work)
	if err != nil {
		t.Fatal(err)
	}
	if err := compile(t.Context(), systems[0], program); err != nil {
		t.Fatal(err)
	}
	for _, version := range []string{"0.0.1", "0.0.2"} {
		from := &source{version: version, when: time.Unix(1, 0).UTC()}
		if err := packages(t.Context(), from, systems[0], program, beside, "licences", filepath.Join(work, version), filepath.Join(root, "tmp")); err != nil {
			t.Fatal(err)
		}
	}
}

// A package is installed, used as the service's user, upgraded under a running
// daemon, removed and purged; what people own stays.
func TestInAFreshSystem(t *testing.T) {
	f := newFresh(t)
	twoVersions(t, f.root)
	f.do("root", "dpkg -i bayhand_0.0.1-1_amd64.deb")
	if groups := f.do("bayhand", "id -nG"); !strings.Contains(groups, "dialout") || !strings.Contains(groups, "audio") {
		t.Errorf("the service's user is in %q", groups)
	}
	f.do("root", "systemd-analyze --man=no verify /usr/lib/systemd/system/bayhand@.service")
	if shown := f.do("bayhand", "bayhand demo"); !strings.Contains(shown, " 0 not, in ") {
		t.Errorf("the demo shows:\n%s", shown)
	}
	f.do("bayhand", "bayhand demo --write /srv/bayhand/heron")

	f.do("root", "install -d -o bayhand -g bayhand /var/lib/bayhand") // systemd does it by StateDirectory
	const room = "--studio /srv/bayhand/heron/studio.yaml --state /var/lib/bayhand/heron"
	leave := f.keep("bayhand daemon --http 127.0.0.1:0 " + room)
	f.do("bayhand", "bayhand plug main/t1 main/b9 "+room)
	f.do("root", "dpkg -i bayhand_0.0.2-1_amd64.deb")
	if shown := f.do("bayhand", "bayhand cords --how "+room); !strings.Contains(shown, "main/t1") {
		t.Errorf("after an upgrade the daemon that ran says:\n%s", shown)
	}
	leave()
	leave = f.keep("bayhand daemon --http 127.0.0.1:0 " + room)
	if shown := f.do("bayhand", "bayhand history "+room); !strings.Contains(shown, "main/t1") {
		t.Errorf("the new daemon reads:\n%s", shown)
	}
	leave()
	f.do("root", "dpkg -r bayhand")
	f.has("usr/bin/bayhand", false)
	f.has("var/lib/bayhand/heron", true)
	f.do("root", "dpkg -P bayhand")
	f.has("var/lib/bayhand", false)
	f.has("srv/bayhand/heron/studio.yaml", true)
}

// keep runs a daemon as the service's user until it is left.
func (f fresh) keep(line string) (leave func()) {
	f.t.Helper()
	ctx, stop := context.WithCancel(f.t.Context())
	daemon := exec.CommandContext(ctx, "chroot", "--userspec=bayhand:bayhand", f.root, "/bin/sh", "-c", "cd /tmp && exec "+line)
	daemon.Cancel = func() error { return daemon.Process.Signal(os.Interrupt) }
	out, err := daemon.StdoutPipe()
	if err != nil {
		f.t.Fatal(err)
	}
	daemon.Stderr = os.Stderr
	if err := daemon.Start(); err != nil {
		f.t.Fatal(err)
	}
	line1 := make([]byte, 1)
	if _, err := out.Read(line1); err != nil {
		f.t.Fatalf("the daemon says nothing: %v", err)
	}
	return func() {
		stop()
		_ = daemon.Wait()
	}
}
