package attacks_test

import (
	"context"
	"net"
	"runtime"
	"testing"
	"time"

	"bayhand/drivers/link"
)

// tooLong is what only a program that hangs needs.
const tooLong = 2 * time.Minute

// A server of serial lines that sends without end and never agrees on anything is
// given up in time, and nothing of what it sent is held (RFC 2217, section 3).
func TestSerialServerFloods(t *testing.T) {
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	must(t, err)
	defer listener.Close()
	sent := make(chan int, 1)
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	// Whoever opens it loses patience once so much has come.
	const most = 64 << 20
	go func() {
		conn, err := listener.Accept()
		if err != nil {
			sent <- 0
			return
		}
		defer conn.Close()
		bytes, all := make([]byte, 1<<20), 0
		for {
			n, err := conn.Write(bytes)
			if all += n; err != nil {
				sent <- all
				return
			}
			if all > most {
				stop()
			}
		}
	}()
	if opened, err := link.Open(ctx, "rfc2217:"+listener.Addr().String()+"?baud=9600", link.Options{Timeout: tooLong}); err == nil {
		_ = opened.Close()
		t.Error("it was opened")
	}
	flood := <-sent
	var held runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&held)
	if t.Logf("%d MB were sent", flood>>20); flood < 4<<20 {
		t.Errorf("only %d bytes were sent, which proves nothing", flood)
	}
	if held.Sys > 256<<20 {
		t.Errorf("%d MB are held", held.Sys>>20)
	}
}
