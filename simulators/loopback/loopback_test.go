package loopback

import (
	"net"
	"testing"
)

// What was free can be listened at, and no two are alike.
func TestFree(t *testing.T) {
	had := map[string]bool{}
	for range 20 {
		address, err := Free()
		if err != nil {
			t.Fatal(err)
		}
		if had[address] {
			t.Errorf("%s comes twice", address)
		}
		had[address] = true
		if conn, err := net.Dial("tcp", address); err == nil {
			conn.Close()
			t.Errorf("somebody listens at %s", address)
		}
		listener, err := net.Listen("tcp", address)
		if err != nil {
			t.Fatal(err)
		}
		defer listener.Close()
	}
}
