package serve

import (
	"crypto/sha256"
	"crypto/subtle"
	"crypto/tls"
	"encoding/hex"
	"errors"
	"fmt"
	"net"
)

// secured wraps a listener in TLS with a certificate of one's own, and gives the
// certificate's mark.
func secured(l net.Listener, certificate, key string) (net.Listener, string, error) {
	pair, err := tls.LoadX509KeyPair(certificate, key)
	if err != nil {
		return nil, "", fmt.Errorf("the certificate %s with the key %s cannot be used: %w", certificate, key, err)
	}
	config := &tls.Config{Certificates: []tls.Certificate{pair}, MinVersion: tls.VersionTLS12, NextProtos: []string{"http/1.1"}}
	return tls.NewListener(l, config), markOf(pair.Certificate[0]), nil
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
