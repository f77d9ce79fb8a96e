package line

import (
	"context"
	"errors"
	"fmt"
	"net"
)

// serveTCP listens and holds one conversation after the other.
func (s *server) serveTCP(ctx context.Context, address string, ready func(string)) error {
	listener, err := new(net.ListenConfig).Listen(ctx, "tcp", address)
	if err != nil {
		return fmt.Errorf("can't listen on tcp:%s: %w; write tcp:HOST:PORT, with port 0 for any that is free", address, err)
	}
	stop := context.AfterFunc(ctx, func() { listener.Close() })
	defer func() {
		stop()
		listener.Close()
	}()
	ready("tcp:" + listener.Addr().String())
	for {
		client, err := listener.Accept()
		if err != nil {
			return fmt.Errorf("tcp:%s: %w", address, err)
		}
		s.log.Debug("a client came", "from", client.RemoteAddr().String())
		if err := s.converse(ctx, client); !errors.Is(err, errLeft) && !errors.Is(err, errRestarted) {
			return err
		}
		s.log.Debug("the client is gone")
	}
}
