package main

import (
	"bytes"
	"context"
	"fmt"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"sync"
	"testing"

	"github.com/creack/pty"
	"golang.org/x/term"

	"bayhand/drivers/descriptions/shipped"
	"bayhand/recall/keep"
	"bayhand/simulators/line"
	"bayhand/simulators/loopback"
	"bayhand/simulators/matrix"
)

// serialServer is ser2net, a server of serial lines of others, as a process that can be
// killed and started again at the same address.
type serialServer struct {
	*testing.T
	program, config, address string
	process                  *exec.Cmd
}

func newSerialServer(t *testing.T, port string) *serialServer {
	t.Helper()
	program := peer(t, "ser2net")
	address, err := loopback.Free()
	if err != nil {
		t.Fatal(err)
	}
	s := &serialServer{T: t, program: program, config: filepath.Join(t.TempDir(), "ser2net.yaml"), address: address}
	host, number, _ := net.SplitHostPort(address)
	about := fmt.Sprintf("connection: &line\n  accepter: telnet(rfc2217),tcp,%s,%s\n  connector: serialdev,%s,9600n81,local\n  options:\n    kickolduser: true\n", host, number, port)
	if err := os.WriteFile(s.config, []byte(about), 0o600); err != nil {
		t.Fatal(err)
	}
	s.start()
	t.Cleanup(s.kill)
	return s
}

func (s *serialServer) start() {
	s.Helper()
	s.process = exec.Command(s.program, "-n", "-d", "-u", "-c", s.config)
	if err := s.process.Start(); err != nil {
		s.Fatal(err)
	}
}

func (s *serialServer) kill() {
	_ = s.process.Process.Kill()
	_ = s.process.Wait()
}

// heardLine is the device's end of a serial line, with all that came.
type heardLine struct {
	*os.File
	// mu guards the field below.
	mu  sync.Mutex
	all []byte
}

func (h *heardLine) Read(p []byte) (int, error) {
	n, err := h.File.Read(p)
	h.mu.Lock()
	defer h.mu.Unlock()
	h.all = append(h.all, p[:n]...)
	return n, err
}

func (h *heardLine) heard() []byte {
	h.mu.Lock()
	defer h.mu.Unlock()
	return slices.Clone(h.all)
}

// A serial server is killed as a process and started again while somebody turns the matrix
// by hand: the host says that it does not answer, begins anew with the end of a line, and
// knows by reading it how it is.
func TestSerialServerRestarts(t *testing.T) {
	t.Parallel()
	h := atTable(t, 1, 21)
	near, far, err := pty.Open()
	if err != nil {
		t.Fatal(err)
	}
	defer far.Close()
	if _, err := term.MakeRaw(int(far.Fd())); err != nil {
		t.Fatal(err)
	}
	o := line.Options{Description: shipped.Named(t, "line-switch"), Inputs: 2, Outputs: 2}
	if o.Matrix, err = line.NewMatrix(o); err != nil {
		t.Fatal(err)
	}
	device := &heardLine{File: near}
	var all sync.WaitGroup
	ctx, stop := context.WithCancel(context.Background())
	all.Go(func() { _ = line.Talk(ctx, o, device) })
	t.Cleanup(func() { stop(); _ = near.Close(); all.Wait() })

	server := newSerialServer(t, far.Name())
	one := h.add("north")
	p := &pair{hosts: h, rec: &recorder{T: t, matrix: o.Matrix}}
	h.write(one, map[string]string{
		"studio.yaml":         servedStudio,
		"house.yaml":          "servers: " + h.serversOf(one) + "\n" + oneHouse,
		"sessions/heron.yaml": "session: Heron\nconnect: [mics/out2 -> desk/in1]\n",
	})
	one.more = []string{"--link", "grid=rfc2217:" + server.address + "?clients=newest"}
	h.start(one)
	p.owner(one)
	h.act(one, keep.Act{Do: keep.ToRecall, Session: "heron"})
	p.phase(one, keep.Given)
	server.kill()
	h.until("grid does not answer", func() bool {
		s, err := h.status(one)
		return err == nil && len(s.Matrices) == 1 && !s.Matrices[0].Answers
	})
	before := len(device.heard())
	if err := o.Matrix.Set(matrix.Front, matrix.Crosspoint{Output: 1, Input: 1}); err != nil {
		t.Fatal(err)
	}
	server.start()
	p.owner(one)
	p.phase(one, keep.Given) // it is set back, as the studio wants
	p.knows(one)
	if got := o.Matrix.Listens(matrix.Output(1)); got != 2 {
		t.Errorf("output 1 listens to %d after all", got)
	}
	if after := device.heard()[before:]; !bytes.HasPrefix(after, []byte("\n")) {
		t.Errorf("the new connection begins with %q", after)
	}
}

// phase waits until a host is in one.
func (p *pair) phase(one *oneHost, want keep.Phase) {
	p.Helper()
	p.until(fmt.Sprintf("%s is %s", one.room, want), func() bool {
		s, err := p.status(one)
		return err == nil && s.Phase == want
	})
}
