//go:build !linux

package panel

import (
	"context"
	"io"
	"os"
	"sync"
)

// reopen can't open the terminal once more here. A read that waits for a key is
// left behind when the panel ends, until the next key or the program's end.
func reopen(in *os.File) (keyboard io.Reader, done func(), err error) {
	ctx, cancel := context.WithCancel(context.Background())
	k := &leftBehind{ended: ctx.Done(), keys: make(chan byte)}
	go k.read(in)
	var once sync.Once
	return k, func() { once.Do(cancel) }, nil
}

// resized never tells: a new size is seen at the next drawing.
func resized() (changes <-chan os.Signal, stop func()) { return nil, func() {} }

// leftBehind reads keys from a file that can't be closed.
type leftBehind struct {
	ended <-chan struct{}
	keys  chan byte
}

func (k *leftBehind) read(in *os.File) {
	defer close(k.keys)
	b := make([]byte, 1)
	for {
		if n, err := in.Read(b); err != nil || n == 0 {
			return
		}
		select {
		case k.keys <- b[0]:
		case <-k.ended:
			return
		}
	}
}

func (k *leftBehind) Read(p []byte) (int, error) {
	select {
	case <-k.ended:
		return 0, io.EOF
	case b, more := <-k.keys:
		if !more || len(p) == 0 {
			return 0, io.EOF
		}
		p[0] = b
		return 1, nil
	}
}
