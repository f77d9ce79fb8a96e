package main

import (
	"context"

	"github.com/kardianos/service"
)

// underManager runs the daemon, and answers the machine's manager of services
// where that has started it: it is told to stop in words of its own.
func underManager(ctx context.Context, run func(context.Context) error) error {
	if service.Interactive() {
		return run(ctx)
	}
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	m := managed{run: func() error { return run(ctx) }, stop: stop, ended: make(chan error, 1)}
	s, err := service.New(m, &service.Config{Name: "bayhand"})
	if err != nil {
		return err
	}
	return s.Run()
}

type managed struct {
	run   func() error
	stop  func()
	ended chan error
}

// Start must not wait.
func (m managed) Start(s service.Service) error {
	go func() {
		err := m.run()
		m.ended <- err
		if err != nil {
			_ = s.Stop() // it is told of the end as of any other
		}
	}()
	return nil
}

// Stop waits until the room is left.
func (m managed) Stop(service.Service) error {
	m.stop()
	return <-m.ended
}
