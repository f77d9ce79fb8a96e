package main

import (
	"os"
	"os/exec"
	"testing"
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
