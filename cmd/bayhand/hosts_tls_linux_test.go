package main

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"errors"
	"math/big"
	"net"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"bayhand/model/house"
	"bayhand/recall/border"
	"bayhand/recall/gate"
)

// authority signs certificates for a test, as files in a folder.
type authority struct {
	*testing.T
	dir  string
	cert *x509.Certificate
	key  *ecdsa.PrivateKey
	last int64
}

func newAuthority(t *testing.T, dir, called string) *authority {
	a := &authority{T: t, dir: dir}
	a.cert, a.key = a.sign(called, &x509.Certificate{IsCA: true, BasicConstraintsValid: true, KeyUsage: x509.KeyUsageCertSign})
	return a
}

// sign writes a certificate and its key: CALLED.pem and CALLED.key.
func (a *authority) sign(called string, c *x509.Certificate) (*x509.Certificate, *ecdsa.PrivateKey) {
	a.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		a.Fatal(err)
	}
	a.last++
	c.SerialNumber, c.Subject = big.NewInt(a.last), pkix.Name{CommonName: called}
	c.NotBefore, c.NotAfter = time.Now().Add(-time.Hour), time.Now().Add(time.Hour)
	parent, signer := a.cert, a.key
	if parent == nil {
		parent, signer = c, key
	}
	der, err := x509.CreateCertificate(rand.Reader, c, parent, &key.PublicKey, signer)
	if err != nil {
		a.Fatal(err)
	}
	private, err := x509.MarshalECPrivateKey(key)
	if err != nil {
		a.Fatal(err)
	}
	a.put(called+".pem", "CERTIFICATE", der)
	a.put(called+".key", "EC PRIVATE KEY", private)
	made, err := x509.ParseCertificate(der)
	if err != nil {
		a.Fatal(err)
	}
	return made, key
}

func (a *authority) put(file, kind string, der []byte) {
	a.Helper()
	if err := os.WriteFile(filepath.Join(a.dir, file), pem.EncodeToMemory(&pem.Block{Type: kind, Bytes: der}), 0o600); err != nil {
		a.Fatal(err)
	}
}

// Servers at https addresses let in hosts that show a certificate of the house's own
// authority, and no others; a host lets in no server of another authority.
func TestTableBehindTLS(t *testing.T) {
	dir := t.TempDir()
	ours := newAuthority(t, dir, "authority")
	newAuthority(t, dir, "stranger")
	both := []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth, x509.ExtKeyUsageClientAuth}
	ours.sign("server", &x509.Certificate{ExtKeyUsage: both, DNSNames: []string{"localhost"}})
	ours.sign("host", &x509.Certificate{ExtKeyUsage: both})
	file := func(name string) string { return filepath.Join(dir, name) }
	server := tableServers(t, "https", 1, "--cert-file", file("server.pem"), "--key-file", file("server.key"),
		"--client-cert-auth", "--trusted-ca-file", file("authority.pem"))[0]
	at := newWay(t, server.client) // at an address that the certificate names
	_, port, err := net.SplitHostPort(at.address())
	if err != nil {
		t.Fatal(err)
	}
	h := house.House{Name: "TLS", Servers: []string{"https://localhost:" + port}, Authority: "authority.pem", Certificate: "host.pem", Key: "host.key"}
	view := func(h house.House) error {
		table, err := serversOf(h, file("house.yaml"), gate.Known{})
		if err != nil {
			return err
		}
		defer table.Close()
		_, err = table.Act(t.Context(), border.Act{Do: border.ToClaim, Room: "a", Number: 1, Places: []border.Place{"tie"}})
		return err
	}
	for err = view(h); errors.Is(err, border.ErrUnreached) && t.Context().Err() == nil; err = view(h) {
	}
	if err != nil {
		t.Fatal(err)
	}
	unlike := map[string]func(*house.House){
		"signed by unknown authority":           func(h *house.House) { h.Authority = "stranger.pem" },
		"remote error: tls: ":                   func(h *house.House) { h.Certificate, h.Key = "", "" },
		"has no certificate (PEM)":              func(h *house.House) { h.Authority = "host.key" },
		"certificate of the servers' authority": func(h *house.House) { h.Authority = "nowhere.pem" },
		"certificate for the servers":           func(h *house.House) { h.Key = "server.key" },
	}
	for want, change := range unlike {
		t.Run(want, func(t *testing.T) {
			t.Parallel() // where nothing fits, it is tried until the patience ends
			other := h
			change(&other)
			if err := view(other); err == nil || !strings.Contains(err.Error(), want) {
				t.Errorf("got %v", err)
			}
		})
	}
}
