package demo

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"

	"bayhand/model/studio"
	"bayhand/model/text"
	"bayhand/recall/serve"
)

// stage is everything that the demo set up.
type stage struct {
	out    io.Writer
	folder string
	// tcp has the simulators listen on TCP ports.
	tcp bool
	// program is how to start this program again.
	program []string
	nursery *nursery
	// children by the name of their matrix, and "daemon".
	children map[string]*child
	// links are where the simulators listen.
	links  map[string]string
	page   string
	studio *studio.Studio
	room   *serve.Client
	expectations
}

// the size and description of each simulated matrix.
var simulated = []struct{ matrix, description, size, kind string }{
	{"grid", "scpi-switch", "16x16", "pty"},
	{"shade", "midi-exclusive", "8x8", "rawmidi"},
}

// newStage lays the files out and reads the studio.
func newStage(o Options) (*stage, error) {
	p, err := program()
	if err != nil {
		return nil, err
	}
	folder, err := os.MkdirTemp("", "bayhand-demo-")
	if err != nil {
		return nil, err
	}
	s := &stage{out: o.Out, folder: folder, tcp: o.TCP || runtime.GOOS != "linux", program: p, nursery: newNursery(), children: map[string]*child{}, links: map[string]string{}}
	if err := Write(folder); err != nil {
		return nil, errors.Join(err, s.clear())
	}
	return s, s.readStudio()
}

func (s *stage) readStudio() error {
	src, err := os.ReadFile(s.path("studio.yaml"))
	if err != nil {
		return err
	}
	read, _, problems := text.ReadStudio("studio.yaml", src)
	if problems.Errors() {
		return problems
	}
	s.studio = read
	return nil
}

func (s *stage) path(name string) string { return filepath.Join(s.folder, filepath.FromSlash(name)) }

// clear ends what was started, the daemon first, and takes the files away.
func (s *stage) clear() error {
	for _, name := range []string{"daemon", machineRoom, "grid", "shade"} {
		if c := s.children[name]; c != nil {
			c.end()
		}
	}
	s.nursery.close()
	return os.RemoveAll(s.folder)
}

// simulate starts the simulator of a matrix.
func (s *stage) simulate(ctx context.Context, at int) error {
	m := simulated[at]
	listen := s.listen(at)
	c, err := s.nursery.spawn(m.matrix, s.program, "simulate", m.description, "--size", m.size, "--listen", listen)
	if err != nil {
		return err
	}
	s.children[m.matrix] = c
	where, err := c.line(ctx, "listening on ")
	if err != nil {
		return err
	}
	// A program at the other end of a pseudo-terminal finds a serial line there.
	s.links[m.matrix] = strings.Replace(where, "pty:", "serial:", 1)
	return nil
}

// listen is where the simulator of a matrix is to be found: on the kind of line
// that the device would hang on, or on a TCP port. One that is started again comes
// back where the daemon looks for it.
func (s *stage) listen(at int) string {
	m := simulated[at]
	switch {
	case !s.tcp:
		return m.kind + ":" + s.path(m.matrix)
	case s.links[m.matrix] != "":
		return s.links[m.matrix]
	default:
		return "tcp:127.0.0.1:0"
	}
}

// keepRoom starts the daemon, which must find the studio, its matrices at the
// links of this run, and a port that is free.
func (s *stage) keepRoom(ctx context.Context) error {
	arguments := append([]string{"daemon", "--http", "127.0.0.1:0"}, s.here()...)
	for _, m := range simulated {
		arguments = append(arguments, "--link", m.matrix+"="+s.links[m.matrix])
	}
	c, err := s.nursery.spawn("the daemon", s.program, arguments...)
	if err != nil {
		return err
	}
	s.children["daemon"] = c
	s.page, err = c.line(ctx, "the page at the bay: ")
	return err
}

// here are the flags by which commands find this run.
func (s *stage) here() []string {
	return []string{"--studio", s.path("studio.yaml"), "--state", s.path("state")}
}

func (s *stage) say(format string, args ...any) { fmt.Fprintf(s.out, format, args...) }
