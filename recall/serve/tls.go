package serve

import (
	"crypto/sha256"
	"crypto/subtle"
	"crypto/tls"
	"encoding/hex"
	"errors"
	"fmt"
	"net"
	"os"
	"strings"
	"sync"
)

// certificate is one of the server's own. Its files are looked at for each new
// connection, so that one that was renewed is taken without a new start.
type certificate struct {
	file, key string
	// renewed is told the mark of another certificate before it is shown to anybody.
	renewed func(mark string)
	// failed is told why the files as they are now cannot be used.
	failed func(error)
	// mu guards the fields below.
	mu    sync.Mutex
	stamp string
	pair  *tls.Certificate
	mark  string
}

// newCertificate reads a certificate and its key.
func newCertificate(file, key string) (*certificate, error) {
	c := &certificate{file: file, key: key}
	c.stamp = c.stampNow()
	return c, c.read()
}

func (c *certificate) read() error {
	pair, err := tls.LoadX509KeyPair(c.file, c.key)
	if err != nil {
		return fmt.Errorf("the certificate %s with the key %s cannot be used: %w", c.file, c.key, err)
	}
	c.pair, c.mark = &pair, markOf(pair.Certificate[0])
	return nil
}

// stampNow says how the files are, without reading them.
func (c *certificate) stampNow() string {
	var text strings.Builder
	for _, file := range []string{c.file, c.key} {
		if info, err := os.Stat(file); err == nil {
			fmt.Fprintf(&text, "%d %d;", info.ModTime().UnixNano(), info.Size())
		}
	}
	return text.String()
}

// current is the certificate as its files have it. While they cannot be used, as
// between the writing of the one and the other, it is the one before.
func (c *certificate) current(*tls.ClientHelloInfo) (*tls.Certificate, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	stamp := c.stampNow()
	if stamp == c.stamp {
		return c.pair, nil
	}
	c.stamp = stamp
	before := c.mark
	if err := c.read(); err != nil {
		c.failed(err)
		return c.pair, nil
	}
	if c.mark != before {
		c.renewed(c.mark)
	}
	return c.pair, nil
}

// secured wraps a listener in TLS.
func (c *certificate) secured(l net.Listener) net.Listener {
	return tls.NewListener(l, &tls.Config{GetCertificate: c.current, MinVersion: tls.VersionTLS12, NextProtos: []string{"http/1.1"}})
}

// markOf is the SHA-256 sum of a certificate.
func markOf(der []byte) string {
	sum := sha256.Sum256(der)
	return hex.EncodeToString(sum[:])
}

var errOtherCertificate = errors.New("what listens there has another certificate than the daemon")

// known accepts the certificate with a mark, whoever signed it and whatever name
// it is for: this machine's commands know which one the daemon has.
func known(mark string) *tls.Config {
	return &tls.Config{
		MinVersion:         tls.VersionTLS12,
		InsecureSkipVerify: true, // it is verified below
		VerifyConnection: func(state tls.ConnectionState) error {
			if len(state.PeerCertificates) == 0 ||
				subtle.ConstantTimeCompare([]byte(markOf(state.PeerCertificates[0].Raw)), []byte(mark)) != 1 {
				return errOtherCertificate
			}
			return nil
		},
	}
}

// reachedAt is the address by which other machines reach a listener: its own, or
// that of the first network of this machine where it listens on all.
func reachedAt(at *net.TCPAddr) string {
	if !at.IP.IsUnspecified() {
		return at.String()
	}
	addresses, err := net.InterfaceAddrs()
	if err != nil {
		return dialable(at)
	}
	best := ""
	for _, a := range addresses {
		n, ok := a.(*net.IPNet)
		if !ok || !n.IP.IsGlobalUnicast() {
			continue
		}
		text := (&net.TCPAddr{IP: n.IP, Port: at.Port}).String()
		if n.IP.To4() != nil {
			return text
		}
		if best == "" {
			best = text
		}
	}
	if best == "" {
		return dialable(at)
	}
	return best
}
