package main

import (
	"errors"
	"fmt"
)

// status is the exit status of the command.
type status int

// The statuses that scripts can rely on.
const (
	done     status = 0
	cannot   status = 1 // what was asked cannot be, or findings of severity error
	usage    status = 2 // wrong usage
	noAnswer status = 3 // a device did not answer
)

// failure is an error with the status that it ends the command with. A failure
// without an error has said what it had to say already.
type failure struct {
	status status
	err    error
}

func (f *failure) Error() string {
	if f.err == nil {
		return fmt.Sprintf("exit status %d", f.status)
	}
	return f.err.Error()
}

func (f *failure) Unwrap() error { return f.err }

// wrongUsage is an error about the words on the command line.
func wrongUsage(format string, args ...any) error {
	return &failure{usage, fmt.Errorf(format, args...)}
}

// silent ends the command with a status; everything is said.
func silent(s status) error {
	if s == done {
		return nil
	}
	return &failure{status: s}
}

// statusOf is what an error ends the command with.
func statusOf(err error) status {
	var f *failure
	switch {
	case err == nil:
		return done
	case errors.As(err, &f):
		return f.status
	}
	return roomStatus(err)
}
