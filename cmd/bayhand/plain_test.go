package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"sync"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
)

// The race detector makes a plan ten times as long, and the start of a program: and finds
// nothing in either, since the model runs beside nothing. So a test that has the detector
// runs most commands by a program that is built without, and with it what runs many things
// side by side: the daemon.

// here is the folder of the package: a test may go elsewhere.
var here, _ = os.Getwd()

// plainFolder is where that program is; empty until it was built.
var plainFolder string

// plain is the program without the race detector, built once; empty where this test
// has none itself.
var plain = sync.OnceValues(func() (string, error) {
	if !raced {
		return "", nil
	}
	folder, err := os.MkdirTemp("", "plain-*")
	if err != nil {
		return "", err
	}
	plainFolder = folder
	file := filepath.Join(folder, "bayhand")
	// Without the commit, which the test has not either: commands and a daemon of
	// several versions say so.
	build := exec.Command("go", "build", "-buildvcs=false", "-o", file, "bayhand/cmd/bayhand")
	build.Dir = here
	build.Env = append(os.Environ(), "CGO_ENABLED=0")
	if out, err := build.CombinedOutput(); err != nil {
		return "", fmt.Errorf("%w: %s", err, out)
	}
	return file, nil
})

// called is a folder with the program as scripts call it, a script itself, which takes that
// without the detector but for the daemon; empty where this test has no detector.
var called = sync.OnceValues(func() (string, error) {
	file, err := plain()
	if file == "" || err != nil {
		return "", err
	}
	detects, err := exec.LookPath("bayhand") // this test, by its other name
	if err != nil {
		return "", err
	}
	folder := filepath.Join(plainFolder, "called")
	if err := os.Mkdir(folder, 0o755); err != nil {
		return "", err
	}
	says := fmt.Sprintf("#!/bin/sh\nfor word do\n\t[ \"$word\" = daemon ] && exec '%s' \"$@\"\ndone\nexec '%s' \"$@\"\n", detects, file)
	return folder, os.WriteFile(filepath.Join(folder, "bayhand"), []byte(says), 0o755)
})

// scripted is the program as this test is, by its other name.
func scripted() {
	asTested()
	main()
}

// What a test has a daemon do otherwise: how far its clock is ahead, how long a grant lasts,
// and how often a host tells of itself.
const (
	aheadVariable  = "BAYHAND_TEST_AHEAD"
	leasedVariable = "BAYHAND_TEST_LEASED"
	retellVariable = "BAYHAND_TEST_RETELL"
)

func asTested() {
	if ahead, err := time.ParseDuration(os.Getenv(aheadVariable)); err == nil {
		wall = func() time.Time { return time.Now().Add(ahead) }
	}
	if lasts, err := time.ParseDuration(os.Getenv(leasedVariable)); err == nil {
		leased = lasts
	}
	if every, err := time.ParseDuration(os.Getenv(retellVariable)); err == nil {
		retell = every
	}
}

// removing takes the program away after the tests.
type removing struct{ testscript.TestingM }

func (r removing) Run() int {
	status := r.TestingM.Run()
	if plainFolder != "" {
		_ = os.RemoveAll(plainFolder)
	}
	return status
}
