// Command bayhand is the hand at the patch bay: it knows what is heard where in
// a studio, and brings the room from the patch that it is in to the one that a
// session needs. Crosspoints of a matrix it switches itself; cords it asks for.
//
// Vocabulary: an answer is what a command was asked for, on standard output; a
// problem is anything else that must be said, on standard error; the status is
// what a script goes by (0 done, 1 cannot be, 2 wrong usage, 3 no answer from a
// device).
//
// The package holds flags, the wiring of the parts and exit codes, and nothing
// that computes.
package main

import (
	"context"
	"os"
	"os/signal"
	"runtime/debug"
	"syscall"
)

// garbage is how much memory may be garbage before it is looked for, in parts of a hundred of what is in use: what
// plans take is small and soon free again, and to look twice as often takes a fifth of the time of a plan at home.
const garbage = 200

func main() { os.Exit(run()) }

// run is main without the exit, so that what is deferred happens first.
func run() int {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM, syscall.SIGHUP)
	defer stop()
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(garbage)
	}
	return newApp(os.Stdin, os.Stdout, os.Stderr).run(ctx, os.Args[1:])
}
