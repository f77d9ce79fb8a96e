package line

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
)

// serveTCP listens and holds one conversation after the other, over the stream that
// is made of each connection.
func (s *server) serveTCP(ctx context.Context, kind, address string, ready func(string), over func(io.ReadWriteCloser) io.ReadWriteCloser) error {
	listener, err := new(net.ListenConfig).Listen(ctx, "tcp", address)
	if err != nil {
		return fmt.Errorf("can't listen on %s:%s: %w", kind, address, err)
	}
	stop := context.AfterFunc(ctx, func() { listener.Close() })
	defer func() {
		stop()
		listener.Close()
	}()
	ready(kind + ":" + listener.Addr().String())
	for {
		client, err := listener.Accept()
		if err != nil {
			return fmt.Errorf("%s:%s: %w", kind, address, err)
		}
		s.log.Debug("a client came", "from", client.RemoteAddr().String())
		if err := s.converse(ctx, over(client)); !errors.Is(err, errLeft) && !errors.Is(err, errRestarted) {
			return err
		}
		s.log.Debug("the client is gone")
	}
}
