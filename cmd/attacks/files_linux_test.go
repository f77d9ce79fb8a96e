package attacks_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"slices"
	"strings"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"golang.org/x/sys/unix"

	"bayhand/recall/keep"
	"bayhand/recall/serve"
)

// oddFiles puts what is no file among the sessions, and takes it away again.
func oddFiles(ctx context.Context, r *room, _ *serve.Client, count *atomic.Int64) {
	every(ctx, 50*time.Millisecond, func(int) {
		_ = syscall.Mkfifo(r.at("sessions/pipe.yaml"), 0o644)
		_ = os.Symlink("/dev/full", r.at("sessions/full.yaml"))
		_ = os.Symlink("/dev/zero", r.at("sessions/zero.yaml"))
		_ = os.Symlink("loop.yaml", r.at("sessions/loop.yaml"))
		_ = os.Mkdir(r.at("sessions/folder.yaml"), 0o755)
		_ = os.WriteFile(r.at("sessions/rest.yaml"), nil, 0o644)
		if f, err := os.Create(r.at("sessions/large.yaml")); err == nil {
			_ = f.Truncate(1 << 40)
			_ = f.Close()
		}
		for _, name := range []string{"pipe", "full", "zero", "loop", "folder", "rest", "large"} {
			if count.Add(1)%3 == 0 {
				_ = os.Remove(r.at("sessions/" + name + ".yaml"))
			}
		}
	})
}

// wrongFile writes a large session of names that nothing has, on one line and on many,
// and aliases that stand for more than there are atoms.
func wrongFile(ctx context.Context, r *room, _ *serve.Client, count *atomic.Int64) {
	bomb := "session: &a0 [x, x]\n"
	for i := range 60 {
		bomb += fmt.Sprintf("k%d: &a%d [*a%d, *a%d, *a%d]\n", i, i+1, i, i, i)
	}
	texts := []string{
		"session: x\nsilent: [" + strings.Repeat("nothing/in1, ", 85_000) + "]\n",
		"session: x\nconnect:\n" + strings.Repeat("  - nowhere/out1 -> nothing/in1\n", 35_000),
		bomb, strings.Repeat("[", 100_000),
	}
	every(ctx, 300*time.Millisecond, func(n int) {
		_ = os.WriteFile(r.at("sessions/wrong.yaml"), []byte(texts[n%len(texts)]), 0o644)
		count.Add(1)
	})
}

// recording is a take that grows in the studio's folder.
func recording(ctx context.Context, r *room, _ *serve.Client, count *atomic.Int64) {
	f, err := os.Create(r.at("take.wav"))
	if err != nil {
		return
	}
	defer f.Close()
	every(ctx, 20*time.Millisecond, func(int) {
		_, _ = f.Write(make([]byte, 4096))
		count.Add(1)
	})
}

// stall has the system keep whoever opens a file waiting (fanotify(7),
// FAN_OPEN_PERM), as a mount does whose server is away, until it is called off or the
// test ends. Only root can do that; for others the file is a pipe.
func (r *room) stall(file string) (free func()) {
	r.t.Helper()
	group, err := unix.FanotifyInit(unix.FAN_CLASS_CONTENT|unix.FAN_CLOEXEC, unix.O_RDONLY)
	if errors.Is(err, unix.EPERM) || errors.Is(err, unix.ENOSYS) {
		must(r.t, syscall.Mkfifo(r.at(file), 0o644))
		return func() {}
	}
	must(r.t, err)
	r.put(file, sessionText("Stalled", 1, 2))
	must(r.t, unix.FanotifyMark(group, unix.FAN_MARK_ADD, unix.FAN_OPEN_PERM, unix.AT_FDCWD, r.at(file)))
	var done atomic.Bool
	free = func() {
		if done.CompareAndSwap(false, true) {
			_ = unix.Close(group) // then all that wait go on
		}
	}
	r.t.Cleanup(free)
	return free
}

// entry is where the daemon is to be found, as its owner reads it.
func (r *room) entry() serve.Entry {
	var e serve.Entry
	if src, err := os.ReadFile(r.at("state/" + serve.EntryFile)); err == nil {
		_ = json.Unmarshal(src, &e)
	}
	return e
}

// A session and a description that the file system does not give hang nobody: other
// sessions are recalled, the page answers, and the daemon ends when it is told to.
func TestStalledFile(t *testing.T) {
	r := newRoom(t, "grid")
	free := r.stall("sessions/stalled.yaml")
	defer free()
	client := r.start()
	ctx, stop := context.WithTimeout(t.Context(), tooLong)
	defer stop()
	if _, err := client.Act(ctx, keep.Act{Do: keep.ToRecall, Session: "stalled"}); err == nil || ctx.Err() != nil {
		t.Errorf("a session that cannot be read: %v", err)
	}
	if got, err := client.Act(ctx, keep.Act{Do: keep.ToRecall, Session: "first"}); err != nil || got.Status.Session != "first" {
		t.Errorf("another: %v", err)
	}
	r.end(syscall.SIGTERM)
}

// A session that is saved in two halves with a pause between them opens no crosspoint
// of the room.
func TestHalfSavedFile(t *testing.T) {
	r := newRoom(t, "grid")
	client := r.start()
	_, err := client.Act(t.Context(), keep.Act{Do: keep.ToRecall, Session: "first"})
	must(t, err)
	r.hears("ROUT:CLOS (")
	whole := sessionText("First", 1, 0)
	cut := strings.Index(whole, "  - interface/out4 ")
	f, err := os.OpenFile(r.at("sessions/first.yaml"), os.O_WRONLY|os.O_TRUNC, 0)
	must(t, err)
	_, err = f.WriteString(whole[:cut])
	must(t, err)
	<-time.After(700 * time.Millisecond)
	_, err = f.WriteString(whole[cut:])
	must(t, err)
	must(t, f.Close())
	// What is saved next is followed, and nothing was opened before.
	r.put("sessions/first.yaml", whole+"  - interface/out1 -> interface/in2\n")
	r.put("sessions/first.yaml", strings.Replace(whole, "out1 -> interface/in1", "out2 -> interface/in1", 1))
	for {
		said := r.hears("ROUT:")
		if strings.Contains(said, "OPEN") && !strings.Contains(said, "1!1") {
			t.Fatalf("it was told %q", said)
		}
		if strings.Contains(said, "1!2") {
			break
		}
	}
	r.end(syscall.SIGTERM)
}

// What comes late comes together: a command and the question after it are two messages, and
// a message in two parts is one.
func TestMessagesApart(t *testing.T) {
	var m messages
	var got []string
	for _, bytes := range []string{"ROUT:CLOS (@1!1)\n*OPC?\n", "ROUT:OP", "EN (@1!2)\nROUT:CLOS:STAT?", "\n"} {
		m.take(bytes, func(message string) { got = append(got, message) })
	}
	want := []string{"ROUT:CLOS (@1!1)\n", "*OPC?\n", "ROUT:OPEN (@1!2)\n", "ROUT:CLOS:STAT?\n"}
	if !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

// hears waits until the sound device got a message that has a text in it.
func (r *room) hears(text string) string {
	r.t.Helper()
	late := time.After(tooLong)
	for {
		select {
		case said := <-r.heard:
			if strings.Contains(said, text) && !strings.Contains(said, "?") {
				return said
			}
		case <-late:
			r.t.Fatalf("the device never heard %s\n%s", text, r.said)
		}
	}
}
