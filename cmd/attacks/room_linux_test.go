// Package attacks_test attacks a daemon as it runs: a process of its own with real
// links, files and connections, by devices, programs and files that are written for
// it. The table in table_test.go has every attack on any part of the project.
package attacks_test

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"bayhand/drivers/descriptions/shipped"
	"bayhand/recall/serve"
	"bayhand/simulators/line"
)

// program is the daemon's, built once.
var program = sync.OnceValues(func() (string, error) {
	folder, err := os.MkdirTemp("", "attacks-*")
	if err != nil {
		return "", err
	}
	file := filepath.Join(folder, "bayhand")
	out, err := exec.Command("go", "build", "-o", file, "bayhand/cmd/bayhand").CombinedOutput()
	if err != nil {
		err = fmt.Errorf("%w: %s", err, out)
	}
	return file, err
})

func TestMain(m *testing.M) {
	if known := os.Getenv(strangerVariable); known != "" {
		var s stranger
		if err := json.Unmarshal([]byte(known), &s); err != nil {
			panic(err)
		}
		s.attack(os.Stdout)
		return
	}
	file, err := program() // before any time is measured
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	status := m.Run()
	_ = os.RemoveAll(filepath.Dir(file))
	os.Exit(status)
}

// room is a studio with its files, its devices and its daemon.
type room struct {
	t      testing.TB
	folder string
	// address is what the daemon listens at.
	address string
	daemon  *exec.Cmd
	ended   chan error
	said    *log
	// heard are the messages that the sound device got, one by one.
	heard chan string
}

// log is what the daemon says on standard error.
type log struct {
	mu   sync.Mutex
	text strings.Builder
}

func (l *log) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.text.Write(p)
}

func (l *log) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.text.String()
}

// newRoom lays out a studio with matrices that behave so, and two sessions that use
// all of them.
func newRoom(t testing.TB, matrices ...string) *room {
	t.Helper()
	r := &room{t: t, folder: t.TempDir(), address: "127.0.0.1:0", heard: make(chan string, 100_000)}
	studio := "studio: Under attack\ngear:\n  interface: {outputs: {out1-20: pro-line}, inputs: {in1-20: pro-line}}\nmatrices:\n"
	wiring := "wiring:\n"
	for i, m := range matrices {
		studio += fmt.Sprintf("  %s: {inputs: 4, outputs: 4, kind: contacts, device: {description: scpi-switch, link: \"tcp:%s\"}}\n", m, r.device(m))
		first, last := 4*i+1, 4*i+4
		wiring += fmt.Sprintf("  - interface/out%d-%d -> %s/in1-4\n  - %s/out1-4 -> interface/in%d-%d\n", first, last, m, m, first, last)
	}
	r.put("studio.yaml", studio+wiring)
	must(t, os.Mkdir(r.at("sessions"), 0o755))
	r.put("sessions/first.yaml", sessionText("First", len(matrices), 0))
	r.put("sessions/second.yaml", sessionText("Second", len(matrices), 1))
	return r
}

// sessionText is a session that needs crosspoints of all matrices; by is how far its
// sources are turned.
func sessionText(title string, matrices, by int) string {
	text := "session: " + title + "\nconnect:\n"
	for i := range matrices {
		for n := range 4 {
			text += fmt.Sprintf("  - interface/out%d -> interface/in%d\n", 4*i+1+(n+by)%4, 4*i+1+n)
		}
	}
	return text
}

func (r *room) at(file string) string { return filepath.Join(r.folder, file) }

func (r *room) put(file, text string) {
	r.t.Helper()
	must(r.t, os.WriteFile(r.at(file), []byte(text), 0o644))
}

// device stands at an address until the test ends, and behaves as its name says.
func (r *room) device(behaves string) string {
	r.t.Helper()
	o := line.Options{Description: shipped.Named(r.t, "scpi-switch"), Inputs: 4, Outputs: 4}
	switch behaves {
	case "late":
		o.Faults.Delay = 400 * time.Millisecond
	case "never":
		o.Faults.Lose = 1
	}
	var err error
	o.Matrix, err = line.NewMatrix(o)
	must(r.t, err)
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	must(r.t, err)
	ctx, stop := context.WithCancel(context.Background())
	var talking sync.WaitGroup
	talking.Go(func() {
		for {
			conn, err := listener.Accept()
			if err != nil {
				return
			}
			own := o
			if behaves == "grid" {
				own.Traffic = r.listening()
			}
			talking.Go(func() { _ = line.Talk(ctx, own, behaving(conn, behaves)) })
		}
	})
	r.t.Cleanup(func() { stop(); listener.Close(); talking.Wait() })
	return listener.Addr().String()
}

// behaving is a connection whose far end answers as its name says.
func behaving(conn net.Conn, behaves string) io.ReadWriteCloser {
	switch behaves {
	case "half":
		return answers{conn, func(p []byte) [][]byte { return [][]byte{p[:len(p)/2]} }}
	case "twice":
		return answers{conn, func(p []byte) [][]byte { return [][]byte{p, p} }}
	}
	return conn
}

// listening takes what comes over one connection to what was heard.
func (r *room) listening() func(line.Traffic) {
	var received messages
	return func(passed line.Traffic) {
		if passed.Received {
			received.take(string(passed.Bytes), func(message string) { r.heard <- message })
		}
	}
}

// messages are the lines that come over a stream, of which a read may have several or a
// part of one: a device that is late reads a command and the question after it at once.
type messages struct{ rest string }

// take gives each message that is whole to a function.
func (m *messages) take(bytes string, give func(message string)) {
	for message := range strings.Lines(m.rest + bytes) {
		if m.rest = ""; strings.HasSuffix(message, "\n") {
			give(message)
		} else {
			m.rest = message
		}
	}
}

// answers changes what is answered.
type answers struct {
	io.ReadWriteCloser
	change func([]byte) [][]byte
}

func (a answers) Write(p []byte) (int, error) {
	for _, part := range a.change(p) {
		if _, err := a.ReadWriteCloser.Write(part); err != nil {
			return 0, err
		}
	}
	return len(p), nil
}

// start starts the daemon and waits until commands find it.
func (r *room) start() *serve.Client {
	r.t.Helper()
	file, err := program()
	must(r.t, err)
	r.said = &log{}
	r.daemon = exec.Command(file, "daemon", "--http", r.address, "--studio", r.at("studio.yaml"), "--state", r.at("state"))
	r.daemon.Stderr = r.said
	must(r.t, r.daemon.Start())
	r.ended = make(chan error, 1)
	go func(c *exec.Cmd, ended chan error) { ended <- c.Wait() }(r.daemon, r.ended)
	r.t.Cleanup(func() { _ = r.daemon.Process.Kill() })
	var client *serve.Client
	r.until("commands find the daemon", func(ctx context.Context) bool {
		client, err = serve.Find(ctx, r.at("state"))
		return err == nil
	})
	r.t.Cleanup(client.Close)
	return client
}

// until waits for something, and says which if it does not come.
func (r *room) until(what string, so func(ctx context.Context) bool) {
	r.t.Helper()
	ctx, stop := context.WithTimeout(context.Background(), tooLong)
	defer stop()
	again := time.NewTicker(20 * time.Millisecond)
	defer again.Stop()
	for !so(ctx) {
		select {
		case <-again.C:
		case err := <-r.ended:
			r.t.Fatalf("the daemon ended while this was waited for: %s (%v)\n%s", what, err, r.said)
		case <-ctx.Done():
			r.t.Fatalf("this never came: %s\n%s", what, r.said)
		}
	}
}

// end ends the daemon by a signal, and waits until it has.
func (r *room) end(signal syscall.Signal) {
	r.t.Helper()
	must(r.t, r.daemon.Process.Signal(signal))
	select {
	case err := <-r.ended:
		if signal != syscall.SIGKILL && err != nil {
			r.t.Errorf("it ended with %v\n%s", err, r.said)
		}
	case <-time.After(tooLong):
		r.t.Fatalf("it does not end by %v\n%s", signal, r.said)
	}
}
