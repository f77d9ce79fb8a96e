package main

import (
	"os"
	"os/exec"
	"testing"

	"bayhand/drivers/descriptions"
	"bayhand/model/device"
	"bayhand/model/text"
)

// peer is the path of another's program that a test runs. Where it is not installed the
// test is skipped, and fails where peers are required.
func peer(t testing.TB, program string) string {
	t.Helper()
	path, err := exec.LookPath(program)
	if err == nil {
		return path
	}
	if os.Getenv("BAYHAND_PEERS") == "require" {
		t.Fatal(program, "is missing")
	}
	t.Skip(program, "is missing")
	return ""
}

// shipped is a description that comes with the program.
func shipped(t testing.TB, name string) *device.Description {
	t.Helper()
	file, src, err := descriptions.Named(name)
	if err != nil {
		t.Fatal(err)
	}
	d, _, problems := text.ReadDevice(file, src)
	if problems.Errors() {
		t.Fatal(problems)
	}
	return d
}
