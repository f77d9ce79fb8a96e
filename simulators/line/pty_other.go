//go:build !linux

package line

import (
	"context"
	"errors"
)

func (s *server) servePTY(context.Context, string, string, func(string)) error {
	return errors.New("pseudo terminals are not reachable on this platform; listen on tcp:HOST:PORT or rfc2217:HOST:PORT")
}
