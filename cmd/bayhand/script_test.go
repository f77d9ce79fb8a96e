package main

import (
	"errors"
	"fmt"
	"io/fs"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"

	"bayhand/cmd/bayhand/demo"
	"bayhand/simulators/loopback"
)

func TestMain(m *testing.M) {
	testscript.Main(removing{m}, map[string]func(){"bayhand": scripted})
}

// TestScripts runs the command line as a person or a script would: each file in
// testdata/script is one story with its files.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:                 filepath.Join("testdata", "script"),
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		UpdateScripts:       *update,
		Setup:               atHome,
		Condition:           lacks,
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits":        exits,
			"until":        until,
			"heron":        heron,
			"exists-soon":  existsSoon,
			"listens-soon": listensSoon,
			"free-address": freeAddress,
			"empty":        empty,
			"replace":      replace,
			"record":       record,
		},
	})
}

// atHome gives a script folders of its own for state and temporary files.
func atHome(env *testscript.Env) error {
	for name, folder := range map[string]string{"XDG_STATE_HOME": "state", "TMPDIR": "tmp"} {
		path := filepath.Join(env.WorkDir, folder)
		if err := os.MkdirAll(path, 0o755); err != nil {
			return err
		}
		env.Setenv(name, path)
	}
	folder, err := called()
	if err != nil {
		return err
	}
	if folder != "" {
		env.Setenv("PATH", folder+string(os.PathListSeparator)+env.Getenv("PATH"))
	}
	// A program that is built with the race detector sleeps for a second when it ends,
	// by default, and a script starts dozens.
	env.Setenv("GORACE", "atexit_sleep_ms=20")
	return filepath.WalkDir(env.WorkDir, func(file string, _ fs.DirEntry, err error) error {
		return errors.Join(err, savedLongAgo(file))
	})
}

// savedLongAgo makes a file one that nobody waits for until it is saved whole.
func savedLongAgo(file string) error {
	then := time.Now().Add(-time.Hour)
	return os.Chtimes(file, then, then)
}

// lacks says whether a program of others is missing that a script needs: [lacks:etcd].
// Where peers are required it is an error.
func lacks(condition string) (bool, error) {
	program, is := strings.CutPrefix(condition, "lacks:")
	if !is {
		return false, fmt.Errorf("there is no condition %s", condition)
	}
	_, err := exec.LookPath(program)
	if err != nil && os.Getenv("BAYHAND_PEERS") == "require" {
		return false, err
	}
	return err != nil, nil
}

// exits runs a command that must end with a status: exits 2 bayhand bogus.
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("write: exits STATUS COMMAND ARGUMENT...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	err = ts.Exec(args[1], args[2:]...)
	got := 0
	if exit, ok := err.(interface{ ExitCode() int }); ok {
		got = exit.ExitCode()
	} else {
		ts.Check(err)
	}
	if got != want {
		ts.Fatalf("exit status %d, not %d", got, want)
	}
}

// until runs a command again and again until its output matches, as somebody
// would who waits for the room: until 'read back' bayhand cords.
func until(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("write: until PATTERN COMMAND ARGUMENT...")
	}
	pattern, err := regexp.Compile("(?m)" + args[0])
	ts.Check(err)
	patiently(ts, strings.Join(args[1:], " ")+" never printed "+args[0], func() bool {
		ts.Exec(args[1], args[2:]...) // what it prints counts, whatever its status
		return pattern.MatchString(ts.ReadFile("stdout"))
	})
}

// empty checks that a folder has nothing in it: empty tmp.
func empty(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("write: empty FOLDER")
	}
	entries, err := os.ReadDir(ts.MkAbs(args[0]))
	ts.Check(err)
	for _, e := range entries {
		ts.Fatalf("%s has %s in it", args[0], e.Name())
	}
}

// existsSoon waits for a file that another process makes, by its name or a
// pattern of names: exists-soon grid.pty.
func existsSoon(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("write: exists-soon FILE")
	}
	patiently(ts, "there is no "+args[0], func() bool {
		found, err := filepath.Glob(ts.MkAbs(args[0]))
		return err == nil && len(found) > 0
	})
}

// listensSoon waits for a server that another process is: listens-soon ADDRESS.
func listensSoon(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("write: listens-soon ADDRESS")
	}
	patiently(ts, "nobody listens at "+args[0], func() bool {
		connection, err := net.Dial("tcp", args[0])
		if err == nil {
			connection.Close()
		}
		return err == nil
	})
}

// freeAddress puts an address that nobody listens at in a variable:
// free-address GRID.
func freeAddress(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("write: free-address VARIABLE")
	}
	address, err := loopback.Free()
	ts.Check(err)
	ts.Setenv(args[0], address)
}

// patiently waits until something is so. It asks less and less often, since what it
// asks may be a program, and others want the processor.
func patiently(ts *testscript.TestScript, complaint string, so func() bool) {
	deadline := time.NewTimer(90 * time.Second) // for a machine that does much else
	defer deadline.Stop()
	for pause := 50 * time.Millisecond; !so(); pause = min(pause*3/2, 400*time.Millisecond) {
		select {
		case <-time.After(pause):
		case <-deadline.C:
			ts.Fatalf("%s", complaint)
		}
	}
}

// replace changes a text in a file, as an editor does: replace OLD NEW FILE.
func replace(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("write: replace OLD NEW FILE")
	}
	before := ts.ReadFile(args[2])
	after := strings.ReplaceAll(before, args[0], args[1])
	if after == before {
		ts.Fatalf("%s has no %q", args[2], args[0])
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[2]), []byte(after), 0o644))
}

// heron lays out the files of the made-up studio: heron DIR.
func heron(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("write: heron DIR")
	}
	ts.Check(demo.Write(ts.MkAbs(args[0])))
}
