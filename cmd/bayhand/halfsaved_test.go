package main

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// A command without a daemon that reads a session while it is saved in two halves plans nothing
// by the first: it waits until the file stands still.
func TestHalfSavedFileIsWaitedFor(t *testing.T) {
	folder := t.TempDir()
	write := func(file, contents string) string {
		t.Helper()
		path := filepath.Join(folder, file)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(contents), 0o644); err != nil {
			t.Fatal(err)
		}
		return path
	}
	studio := write("studio.yaml", `studio: A room in which files are saved slowly (invented)
gear: {tape: {outputs: {out1-3: pro-line}}, deck: {inputs: {in1-3: pro-line}}}
bays: {main: {pairs: 3, modes: {1-3: isolated}}}
wiring: [tape/out1-3 -> main/t1-3, main/b1-3 -> deck/in1-3]
`)
	const whole = "session: Three\nconnect:\n  - tape/out1 -> deck/in1\n  - tape/out2 -> deck/in2\n  - tape/out3 -> deck/in3\n"
	session := write("sessions/three.yaml", whole)
	says := func(args ...string) string {
		t.Helper()
		var out bytes.Buffer
		a := newApp(strings.NewReader(""), &out, &out)
		if status := a.run(t.Context(), append(args, "--studio", studio, "--state", filepath.Join(folder, "state"))); status != 0 {
			t.Errorf("%v ended with %d: %s", args, status, out.String())
		}
		return out.String()
	}
	says("recall", "three")
	write("sessions/three.yaml", whole[:strings.Index(whole, "  - tape/out2")])
	saved := make(chan error, 1)
	go func() {
		<-time.After(500 * time.Millisecond)
		saved <- os.WriteFile(session, []byte(whole), 0o644)
	}()
	says("done", "1")
	if err := <-saved; err != nil {
		t.Fatal(err)
	}
	if said := says("history"); strings.Contains(said, "re-planned") || strings.Contains(said, "person is asked") {
		t.Errorf("it was planned anew by half a file:\n%s", said)
	}
	// What is saved whole is followed.
	write("sessions/three.yaml", strings.Replace(whole, "out3 -> deck/in3", "out2 -> deck/in3", 1))
	says("done", "2")
	if said := says("history"); !strings.Contains(said, "re-planned: the files of") {
		t.Errorf("what was saved whole is not followed:\n%s", said)
	}
}

// So is a session that is saved for the first time, and in two halves.
func TestFirstSaveIsWaitedFor(t *testing.T) {
	const whole = "session: Three\nconnect:\n  - tape/out1 -> deck/in1\n  - tape/out2 -> deck/in2\n"
	for _, command := range []string{"plan", "recall"} {
		folder := t.TempDir()
		studio, session := filepath.Join(folder, "studio.yaml"), filepath.Join(folder, "sessions", "three.yaml")
		write := func(file, contents string) error {
			return errors.Join(os.MkdirAll(filepath.Dir(file), 0o755), os.WriteFile(file, []byte(contents), 0o644))
		}
		err := errors.Join(write(session, whole[:strings.Index(whole, "  - tape/out2")]), write(studio, `studio: A room in which a file is saved slowly (invented)
gear: {tape: {outputs: {out1-2: pro-line}}, deck: {inputs: {in1-2: pro-line}}}
bays: {main: {pairs: 2, modes: isolated}}
wiring: [tape/out1-2 -> main/t1-2, main/b1-2 -> deck/in1-2]
`))
		if err != nil {
			t.Fatal(err)
		}
		saved := make(chan error, 1)
		go func() {
			<-time.After(500 * time.Millisecond)
			saved <- os.WriteFile(session, []byte(whole), 0o644)
		}()
		var out bytes.Buffer
		a := newApp(strings.NewReader(""), &out, &out)
		status := a.run(t.Context(), []string{command, "three", "--studio", studio, "--state", filepath.Join(folder, "state")})
		if err := <-saved; err != nil || status != 0 {
			t.Fatalf("%s ended with %d (%v): %s", command, status, err, out.String())
		}
		if !strings.Contains(out.String(), "main 2 top -> main 2 bottom") {
			t.Errorf("%s goes by half of a session:\n%s", command, out.String())
		}
	}
}
