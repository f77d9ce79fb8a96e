//go:build !windows

package main

import "context"

// underManager runs the daemon. Here the machine's manager of services runs it as
// any other program, and ends it by a signal.
func underManager(ctx context.Context, run func(context.Context) error) error { return run(ctx) }
