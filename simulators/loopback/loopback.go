// Package loopback has addresses of this machine for servers that start later than
// their address is told, such as those that a test starts as programs.
//
// A port of 127.0.0.1 that is free now may be another process's a moment later: the
// system hands out each to whoever asks for any. But all of 127.0.0.0/8 is the machine's
// own (RFC 1122, 3.2.1.3), and nobody else asks for an address that was drawn from it.
package loopback

import (
	"fmt"
	"math/rand/v2"
	"net"
)

// Free is an address, as HOST:PORT, at which nobody listens and nobody will soon. Where
// the system has 127.0.0.1 alone it is one of that.
func Free() (string, error) {
	listener, err := net.Listen("tcp", fmt.Sprintf("127.%d.%d.%d:0", 1+rand.IntN(254), rand.IntN(256), 1+rand.IntN(254)))
	if err != nil {
		listener, err = net.Listen("tcp", "127.0.0.1:0")
	}
	if err != nil {
		return "", err
	}
	return listener.Addr().String(), listener.Close()
}
