package serve

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"os"
	"sync"
	"sync/atomic"
	"time"

	"bayhand/recall/keep"
)

// DefaultAddress is on the loopback.
const DefaultAddress = "127.0.0.1:7420"

// Options of a server.
type Options struct {
	// Address is host:port; empty is DefaultAddress, port 0 is any free one.
	Address string
	// State is the folder for the entry; empty for none.
	State string
	// Studio is the path of the studio's file, for the entry.
	Studio string
	// Host is which of a house's this one is, for the entry; empty for a daemon by itself.
	Host string
	// Version is that of the program, for the entry and for /api/health.
	Version string
	// Page answers everything outside /api; nil for no page.
	Page http.Handler
	// History is the room's; nil for none.
	History Book
	// Access gives the tokens of programs as they are now; it is asked for each
	// request. Nil has none.
	Access func() (Access, error)
	// Hosts are further names by which the machine is called in addresses, for a
	// server that does not listen on the loopback.
	Hosts []string
	// Certificate and Key are the files of a certificate of one's own (PEM) for
	// TLS; both empty for none.
	Certificate, Key string
	// Log gets what the HTTP server says; nil for silence.
	Log *slog.Logger
}

// Server is a room's HTTP server. It listens from the moment it is made, and
// answers while Run runs.
type Server struct {
	room    keep.Room
	options Options
	// token is that of this machine's commands, who read it in the state folder.
	token   string
	address string
	// reached is the base URL for other machines.
	reached     string
	certificate *certificate // nil without TLS
	listener    net.Listener
	hosts       hosts

	limits      limits
	connections connections
	invitations invitations
	screens     *screens
	// accessError is what was last said of access.json.
	accessError atomic.Pointer[string]
	// entryMu guards the field below, and the writing of the entry.
	entryMu sync.Mutex
	entered bool
}

// Times that a request may take. A recall waits for devices, so an answer has no
// limit of its own; writing it has.
const (
	headerTime = 5 * time.Second
	bodyTime   = 10 * time.Second
	idleTime   = 2 * time.Minute
	endTime    = 5 * time.Second
	mostHeader = 16 << 10
)

// Listen opens the port. An address that is taken is an error here and not
// later.
func Listen(room keep.Room, o Options) (*Server, error) {
	if o.Address == "" {
		o.Address = DefaultAddress
	}
	if o.Log == nil {
		o.Log = slog.New(slog.DiscardHandler)
	}
	listener, err := net.Listen("tcp", o.Address)
	if err != nil {
		return nil, fmt.Errorf("cannot listen at %s: %w; end what listens there, or give another address", o.Address, err)
	}
	at := listener.Addr().(*net.TCPAddr)
	s := &Server{room: room, options: o, token: newToken(), listener: listener, hosts: hostsOf(at, o.Hosts)}
	if err := s.ready(at); err != nil {
		return nil, errors.Join(err, listener.Close())
	}
	return s, nil
}

// ready makes what a server needs beside its port.
func (s *Server) ready(at *net.TCPAddr) (err error) {
	if s.screens, err = openScreens(s.options.State); err != nil {
		return err
	}
	scheme := "http://"
	if s.options.Certificate != "" || s.options.Key != "" {
		scheme = "https://"
		if s.certificate, err = newCertificate(s.options.Certificate, s.options.Key); err != nil {
			return err
		}
		s.certificate.renewed = s.renewed
		s.certificate.failed = func(err error) { s.options.Log.Error("the certificate before is used on", "why", err) }
		s.listener = s.certificate.secured(s.listener)
	}
	s.address, s.reached = scheme+dialable(at), scheme+reachedAt(at)
	return nil
}

// dialable is the address by which this machine reaches the listener.
func dialable(at *net.TCPAddr) string {
	reached := *at
	if at.IP.IsUnspecified() {
		reached.IP = net.IPv4(127, 0, 0, 1)
	}
	return reached.String()
}

// Address is the base URL.
func (s *Server) Address() string { return s.address }

// Mark is the SHA-256 sum of the certificate; empty without TLS.
func (s *Server) Mark() string {
	if s.certificate == nil {
		return ""
	}
	s.certificate.mu.Lock()
	defer s.certificate.mu.Unlock()
	return s.certificate.mark
}

// Elsewhere says whether other machines can reach the server, and by which
// address.
func (s *Server) Elsewhere() (string, bool) { return s.outside(), !s.hosts.loopback }

// Token is that of this machine's commands: it opens everything, and it alone may
// call a session by the path of a file.
func (s *Server) Token() string { return s.token }

// Close lets go of the port of a server that is not run.
func (s *Server) Close() error { return s.listener.Close() }

// Run serves until the context ends. Streams end then, and requests that are
// being answered get a few seconds.
func (s *Server) Run(ctx context.Context) (err error) {
	if s.options.State != "" {
		if err := s.writeEntry(s.Mark(), true); err != nil {
			return errors.Join(fmt.Errorf("commands cannot be told where the daemon is: %w", err), s.listener.Close())
		}
		defer func() { err = errors.Join(err, s.removeEntry()) }()
	}
	server := &http.Server{
		Handler: s.Handler(), ReadHeaderTimeout: headerTime, ReadTimeout: bodyTime, IdleTimeout: idleTime,
		MaxHeaderBytes: mostHeader, ErrorLog: slog.NewLogLogger(s.options.Log.Handler(), slog.LevelWarn),
		// Every request's context ends with ctx, and with it every stream.
		BaseContext: func(net.Listener) context.Context { return ctx },
		ConnContext: connected, ConnState: s.connections.changed,
	}
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(s.listener) }()
	select {
	case err := <-ended:
		return err
	case <-ctx.Done():
	}
	return errors.Join(shutDown(server), notClosed(<-ended))
}

// writeEntry tells commands where the server is, once it runs.
func (s *Server) writeEntry(mark string, runs bool) error {
	s.entryMu.Lock()
	defer s.entryMu.Unlock()
	if !s.entered && !runs {
		return nil
	}
	s.entered = true
	return Entry{Address: s.address, Token: s.token, PID: os.Getpid(), Studio: s.options.Studio, Host: s.options.Host, Version: s.options.Version, Certificate: mark}.write(s.options.State)
}

func (s *Server) removeEntry() error {
	s.entryMu.Lock()
	defer s.entryMu.Unlock()
	s.entered = false
	return Entry{Token: s.token}.remove(s.options.State)
}

// renewed tells commands of another certificate.
func (s *Server) renewed(mark string) {
	if err := s.writeEntry(mark, false); err != nil {
		s.options.Log.Error("commands cannot be told of the new certificate", "why", err)
		return
	}
	s.options.Log.Info("the certificate was renewed")
}

func shutDown(server *http.Server) error {
	ctx, cancel := context.WithTimeout(context.Background(), endTime)
	defer cancel()
	if err := server.Shutdown(ctx); err != nil {
		return server.Close()
	}
	return nil
}

func notClosed(err error) error {
	if errors.Is(err, http.ErrServerClosed) {
		return nil
	}
	return err
}
