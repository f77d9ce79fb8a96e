package main

import (
	"context"
	"crypto/sha256"
	"crypto/tls"
	"crypto/x509"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"time"

	"bayhand/model/house"
	"bayhand/model/planner"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/model/text"
	"bayhand/recall/border"
	"bayhand/recall/border/etcd"
	"bayhand/recall/disk"
	"bayhand/recall/files"
	"bayhand/recall/gate"
	"bayhand/recall/keep"
)

// wall is the clock by which a host stamps what it tells others and what its room knows,
// leased how long a grant lasts, and retell how often a host tells of itself; 0 is the
// usual. Tests set a clock wrong, and do not wait as long.
var (
	wall           = time.Now
	leased, retell time.Duration
)

// wallClock is the keeper's: wall, and timers that go on evenly whatever that says.
type wallClock struct{ timers keep.SystemClock }

func (wallClock) Now() time.Time { return wall() }

func (c wallClock) Timer(d time.Duration) (<-chan time.Time, func()) { return c.timers.Timer(d) }

// housed is what makes a daemon one of the hosts of a house. The zero housed is a daemon
// by itself.
type housed struct {
	file, host string

	house   house.House
	border  border.Border
	servers *etcd.Border // nil where this host keeps the table by itself
	memo    *gate.Memo   // nil likewise
	// returning are the lines that were on their way back to the servers' table.
	returning []border.Place
	gate      *gate.Gate
	// studio is the newest that could be read, with its digest.
	studio func() (*studio.Studio, string, error)
	grants *grants // nil where no line needs one
	// told is called when other hosts told something else than before.
	told func()
}

// readHouse reads the file of a house and reports what is wrong with it.
func readHouse(a *app, file string, s *studio.Studio) (house.House, error) {
	src, err := disk.Text(file)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return house.House{}, wrongUsage("there is no house file %s; give the one that the hosts share with --house FILE (bayhand manual hosts says what is in it)", file)
	case err != nil:
		return house.House{}, wrongUsage("%w", &files.Unread{What: "the house file", File: file, Err: err})
	}
	h, _, problems := text.ReadHouse(file, src, s)
	a.out.report(problems, map[string][]byte{file: src})
	if problems.Errors() {
		return house.House{}, silent(cannot)
	}
	return *h, nil
}

// check reads the file of the house before anything is opened.
func (h *housed) check(a *app) error {
	switch {
	case h.file == "" && h.host == "":
		return nil
	case h.file == "" || h.host == "":
		return wrongUsage("--house and --house-host go together: the file of the house, and which of its hosts this one is")
	}
	p, err := a.files.driven()
	if err != nil {
		return err
	}
	if h.house, err = readHouse(a, h.file, p.Studio); err != nil {
		return err
	}
	host, is := h.house.Host(h.host)
	if !is {
		return unknownName(h.host, h.house.Names(), "%s has no host %s", h.file, h.host)
	}
	h.grants = newGrants(h.house, host)
	a.parts.grants = h.grants
	a.parts.own = func(m studio.Matrix) bool {
		may := slices.Contains(host.Lines, m.Name)
		if h.grants.needed(m.Name) {
			may = h.grants.has(m.Name)
		}
		return may && !h.heldBack(m, a.parts.links[m.Name])
	}
	return nil
}

// heldBack says whether a matrix of this host is not driven since the files of hosts
// differ. A cable has one end; over a network another host could be at it as well.
func (h *housed) heldBack(m studio.Matrix, link string) bool {
	if link == "" && m.Device != nil {
		link = m.Device.Link
	}
	return len(h.house.Servers) > 0 && house.FenceOf(link) != house.Cable && (h.gate == nil || h.gate.HeldBack(m.Name))
}

// open finds the table, with what was known of it when the daemon ended.
func (h *housed) open(a *app, folder string, config *keep.Config) error {
	if h.file == "" {
		return nil
	}
	var err error
	var last border.Table
	if len(h.house.Servers) == 0 {
		memory, err := border.NewMemory(border.File(filepath.Join(folder, border.FileName)), wall)
		if err != nil {
			return err
		}
		view, err := memory.View(context.Background())
		if err != nil {
			return err
		}
		h.border, last = memory, view.Table
	} else {
		h.memo = &gate.Memo{File: filepath.Join(folder, gate.MemoName)}
		if last, err = h.openServers(); err != nil {
			return err
		}
	}
	p, err := a.files.driven()
	if err != nil {
		return err
	}
	host, _ := h.house.Host(h.host)
	config.Shut = gate.Shut(p.Studio, host, last)
	config.Rooms = append([]string{}, host.Rooms...)
	return nil
}

// openServers makes the border of the servers, and gives the table as it was known last.
func (h *housed) openServers() (border.Table, error) {
	known, err := h.memo.Load()
	if err != nil {
		return border.Table{}, err
	}
	if h.servers, err = serversOf(h.house, h.file, known); err != nil {
		return border.Table{}, err
	}
	h.border, h.memo.Identity, h.returning = h.servers, h.servers.Identity, known.Returning
	return known.Table, nil
}

// serversOf is the table in the servers of a house.
func serversOf(h house.House, file string, known gate.Known) (*etcd.Border, error) {
	certificates, err := certificatesOf(h, filepath.Dir(file))
	if err != nil {
		return nil, err
	}
	return etcd.New(etcd.Options{House: h.Name, Servers: h.Servers, TLS: certificates, Table: known.Identity, Last: known.Table,
		Now: wall, Lease: leased})
}

// certificatesOf are those that a house names, beside its file; nil for the system's.
func certificatesOf(h house.House, folder string) (*tls.Config, error) {
	if h.Authority == "" && h.Certificate == "" {
		return nil, nil
	}
	beside := func(file string) string {
		if filepath.IsAbs(file) {
			return file
		}
		return filepath.Join(folder, file)
	}
	c := &tls.Config{MinVersion: tls.VersionTLS12}
	if h.Authority != "" {
		pem, err := named("the certificate of the servers' authority", beside(h.Authority), "")
		if err != nil {
			return nil, err
		}
		c.RootCAs = x509.NewCertPool()
		if !c.RootCAs.AppendCertsFromPEM(pem) {
			return nil, fmt.Errorf("%s has no certificate (PEM)", beside(h.Authority))
		}
	}
	if h.Certificate != "" {
		own, err := tls.LoadX509KeyPair(beside(h.Certificate), beside(h.Key))
		if err != nil {
			return nil, fmt.Errorf("the certificate for the servers: %w", err)
		}
		c.Certificates = []tls.Certificate{own}
	}
	return c, nil
}

// among puts the gate before the keeper. A daemon by itself needs none.
func (h *housed) among(a *app, keeper *keep.Keeper) (keep.Room, error) {
	if h.file == "" {
		return keeper, nil
	}
	var err error
	machine, _ := os.Hostname()
	h.studio = (&digester{a: a}).studio
	h.gate, err = gate.New(gate.Config{
		House: h.house, Host: h.host, Border: h.border, Plan: planner.Make, Now: wall, Machine: machine, Changed: keeper.Look, Told: func() { h.told() }, Retell: retell,
		Memo: h.memo, Returning: h.returning, Studio: h.studio,
		Session: func(called string) *session.Session {
			p, err := a.files.library().Studio()
			if err != nil || p.Room == nil {
				return nil
			}
			read, err := a.files.library().Session(p, called)
			if err != nil || !read.Sound() {
				return nil
			}
			return read.Session
		},
	}, keeper)
	if err != nil {
		return nil, err
	}
	if h.grants != nil {
		h.grants.changed, h.grants.still = keeper.Look, h.servers.Granted
	}
	return h.gate, nil
}

// digester tells a studio from others, once for each that is read.
type digester struct {
	a *app
	// mu guards the fields below.
	mu     sync.Mutex
	of     *studio.Studio
	digest string
}

// studio is the studio with its digest: that of all that was read from its file, so that
// comments and the form of lines make no other one.
func (d *digester) studio() (*studio.Studio, string, error) {
	p, err := d.a.files.library().Studio()
	if err != nil {
		return nil, "", err
	}
	if p.Room == nil {
		return nil, "", errors.New("the studio's file has errors")
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.of != p.Studio {
		text, err := json.Marshal(p.Studio)
		if err != nil {
			return nil, "", err
		}
		sum := sha256.Sum256(text)
		d.of, d.digest = p.Studio, hex.EncodeToString(sum[:])
	}
	return p.Studio, d.digest, nil
}

// problems are what is wrong between the rooms and the table.
func (h *housed) problems() []keep.Problem {
	if h.gate == nil {
		return nil
	}
	return slices.Concat(h.gate.Problems(), h.grants.problems(h.gate.View()))
}

// run keeps the gate in step with the table, and the table in mind.
func (h *housed) run(ctx context.Context) error {
	if h.gate == nil {
		<-ctx.Done()
		return nil
	}
	tasks := []func(context.Context) error{h.gate.Run}
	if h.servers != nil {
		tasks = append(tasks, h.servers.Run, func(ctx context.Context) error {
			h.memo.Follow(h.servers.Watch(ctx))
			return nil
		})
		defer h.servers.Close()
		if h.grants != nil {
			tasks = append(tasks, func(ctx context.Context) error {
				return h.servers.Hold(ctx, h.host, h.grants.wanted, h.grants.told)
			})
		}
	}
	return runAll(ctx, tasks...)
}
