package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"bayhand/simulators/loopback"
)

// TestSchool does all that the manual's page about several hosts says, in its order: three
// servers of the table with the settings of the page, four hosts, each with its files, and
// every command at the host where the page has it, from the first start to the morning when
// the machine room is dark. What they print is what the page shows, but for addresses,
// times, digests and names of people.
//
// Four kinds of line are done otherwise than the page says, since they would change this
// machine: no package is installed; a server is started and ended as a process and not by
// systemctl; so is the daemon that service install would install, with the same flags; and
// git pull brings an edit of the studio that this test has written.
func TestSchool(t *testing.T) {
	t.Parallel()
	peer(t, "etcd")
	s := newSchool(t)
	const file = "manual/hosts.md"
	src, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	got := s.read(string(src))
	showsWhatIsPrinted(t, file, string(src), got)
	for _, kind := range []string{"apt", "etcd", "git", "service", "house", "recall", "done", "cords", "trace", "strip", "check"} {
		if s.did[kind] == 0 {
			t.Errorf("the page has no %s", kind)
		}
	}
}

// school are the machines of the page.
type school struct {
	*testing.T
	hosts map[string]*schoolHost
	// daemon is the program with the race detector, where the test has it; program without.
	daemon, program string
	// here puts addresses of this machine in the place of those of the page; there is the
	// other way round.
	here, there *strings.Replacer
	settings    []string
	// did counts the commands, by their kind.
	did map[string]int
}

type schoolHost struct {
	name, dir string
	own       *strings.Replacer // what it listens at
	server    *exec.Cmd
}

func newSchool(t *testing.T) *school {
	t.Helper()
	s := &school{T: t, hosts: map[string]*schoolHost{}, did: map[string]int{}}
	dir := t.TempDir()
	this, err := os.Executable()
	s.daemon = filepath.Join(dir, "bayhand")
	if err := errors.Join(err, os.Symlink(this, s.daemon)); err != nil {
		t.Fatal(err)
	}
	if s.program, err = plain(); err != nil {
		t.Fatal(err)
	} else if s.program == "" {
		s.program = s.daemon
	}
	var here, there []string
	for _, name := range []string{"north", "south", "east", "office"} {
		one := &schoolHost{name: name, dir: filepath.Join(dir, name)}
		s.hosts[name] = one
		var own []string
		for _, port := range []string{":2379", ":2380", ":7420"} {
			address, err := loopback.Free()
			if err != nil {
				t.Fatal(err)
			}
			here = append(here, "http://"+name+port, "http://"+address)
			there = append(there, "http://"+address, "http://"+name+port)
			own = append(own, "0.0.0.0"+port, address)
		}
		one.own = strings.NewReplacer(own...)
	}
	s.here, s.there = strings.NewReplacer(here...), strings.NewReplacer(there...)
	return s
}

// read carries out the page and returns it as it should be.
func (s *school) read(page string) string {
	var out strings.Builder
	for i, block := range strings.Split(page, "```") {
		if i > 0 {
			out.WriteString("```")
		}
		if i%2 == 0 {
			s.note(block)
			out.WriteString(block)
			continue
		}
		info, body, _ := strings.Cut(block, "\n")
		if name, is := strings.CutPrefix(info, "yaml file="); is {
			for _, one := range s.hosts {
				s.lay(one, name, body)
			}
		}
		if host, is := strings.CutPrefix(info, "console on "); is {
			block = info + "\n" + s.console(s.hosts[host], body)
		}
		out.WriteString(block)
	}
	return out.String()
}

// note keeps the settings of a server.
func (s *school) note(text string) {
	for line := range strings.Lines(text) {
		if setting, is := strings.CutPrefix(strings.TrimRight(line, "\n"), "    ETCD_"); is {
			s.settings = append(s.settings, "ETCD_"+setting)
		}
	}
}

func (s *school) lay(one *schoolHost, name, body string) {
	s.Helper()
	file := filepath.Join(one.dir, name)
	if err := errors.Join(os.MkdirAll(filepath.Dir(file), 0o755), os.WriteFile(file, []byte(s.here.Replace(body)), 0o644)); err != nil {
		s.Fatal(err)
	}
}

// console does the commands of a block at a host, and returns it with what they print.
func (s *school) console(one *schoolHost, body string) string {
	s.Helper()
	var out strings.Builder
	for _, shown := range strings.Split("\n"+body, "\n$ ")[1:] {
		command, old, _ := strings.Cut(shown, "\n")
		if old != "" {
			old = strings.TrimSuffix(old, "\n") + "\n"
		}
		fmt.Fprintf(&out, "$ %s\n%s", command, s.do(one, strings.Fields(command), old))
	}
	return out.String()
}

func (s *school) do(one *schoolHost, words []string, old string) string {
	s.Helper()
	switch line := strings.Join(words, " "); {
	case line == "sudo apt install etcd-server":
		s.did["apt"]++
	case line == "sudo systemctl restart etcd", line == "sudo systemctl start etcd":
		s.did["etcd"]++
		s.serve(one)
	case line == "sudo systemctl stop etcd":
		_ = one.server.Process.Signal(syscall.SIGTERM)
		_ = one.server.Wait()
	case line == "git pull":
		s.did["git"]++
		studio, err := os.ReadFile(filepath.Join(one.dir, "studio.yaml"))
		if err != nil {
			s.Fatal(err)
		}
		s.lay(one, "studio.yaml", strings.Replace(string(studio), "studio: A school, made up", "studio: A school, made up, with a newer title", 1))
	case strings.HasPrefix(line, "bayhand service install "):
		s.did["service"]++
		s.start(one, words[3:])
	case words[0] == "bayhand":
		s.did[words[1]]++
		return s.run(one, words[1:], old)
	default:
		s.Fatalf("nobody knows what this does: %s", line)
	}
	return ""
}

// serve starts the server of the table at a host, with the settings of the page.
func (s *school) serve(one *schoolHost) {
	s.Helper()
	if len(s.settings) != 7 {
		s.Fatalf("the page has the settings %q", s.settings)
	}
	one.server = exec.Command("etcd")
	one.server.Env = append(os.Environ(), "ETCD_DATA_DIR="+filepath.Join(one.dir, "table"))
	for _, setting := range s.settings {
		if !strings.HasPrefix(setting, "ETCD_INITIAL_CLUSTER=") { // which names all three
			setting = strings.ReplaceAll(setting, "north", one.name)
		}
		one.server.Env = append(one.server.Env, one.own.Replace(s.here.Replace(setting)))
	}
	if err := one.server.Start(); err != nil {
		s.Fatal(err)
	}
	server := one.server
	s.Cleanup(func() { _ = server.Process.Kill(); _ = server.Wait() })
}

// start starts the daemon of a host.
func (s *school) start(one *schoolHost, flags []string) {
	s.Helper()
	args := []string{"daemon"}
	for _, flag := range flags {
		args = append(args, one.own.Replace(flag))
	}
	daemon := s.at(one, s.daemon, args)
	if err := daemon.Start(); err != nil {
		s.Fatal(err)
	}
	s.Cleanup(func() { _ = daemon.Process.Kill(); _ = daemon.Wait() })
	s.soon("the daemon of "+one.name, func() bool {
		found, err := filepath.Glob(filepath.Join(one.dir, "state", "bayhand", "*", "daemon.json"))
		return err == nil && len(found) > 0
	})
}

// at is a program in the folder of a host.
func (s *school) at(one *schoolHost, program string, args []string) *exec.Cmd {
	c := exec.CommandContext(s.Context(), program, args...)
	c.Dir, c.Env = one.dir, append(os.Environ(), "XDG_STATE_HOME="+filepath.Join(one.dir, "state"), "GORACE=atexit_sleep_ms=20")
	return c
}

func (s *school) soon(what string, is func() bool) {
	s.Helper()
	over := time.After(time.Minute)
	for pause := 20 * time.Millisecond; !is(); pause = min(2*pause, time.Second) {
		select {
		case <-time.After(pause):
		case <-over:
			s.Fatalf("never: %s", what)
		}
	}
}

// run runs a command at a host, and returns what the page should show. What only looks is
// asked again until it sees what the page has: hosts tell each other soon and not at once.
// So is what was refused since the servers did not answer in time, where the page has them
// answer.
func (s *school) run(one *schoolHost, args []string, old string) string {
	s.Helper()
	looks := slices.Contains([]string{"cords", "trace", "check"}, args[0]) || args[0] == "house" && len(args) == 1
	over := time.After(time.Minute)
	if *update {
		over = time.After(20 * time.Second)
	}
	for pause := 50 * time.Millisecond; ; pause = min(2*pause, time.Second) {
		var out bytes.Buffer
		c := s.at(one, s.program, args)
		c.Stdout, c.Stderr = &out, &out
		if err := c.Run(); c.ProcessState == nil {
			s.Fatal(err)
		}
		printed := s.there.Replace(out.String())
		if status := c.ProcessState.ExitCode(); status != 0 {
			printed += fmt.Sprintf("(exit status %d)\n", status)
		}
		if was := alike(old); shortened(alike(printed), was) == was {
			return old
		}
		unreached := strings.Contains(printed, "not reached") && !strings.Contains(old, "not reached")
		if !looks && !unreached {
			return exampled(printed)
		}
		select {
		case <-time.After(pause):
		case <-over:
			return exampled(printed)
		}
	}
}

// differs is what is another at each run: times, digests, and who did something.
var differs = regexp.MustCompile(`\d{4}-\d\d-\d\d \d\d:\d\d(:\d\d)?|since \d\d:\d\d\b|\([0-9a-f]{8}\b|from host [a-z]+|by [a-z0-9_.-]+ on`)

// alike is a text without what is another at each run.
func alike(text string) string {
	return differs.ReplaceAllStringFunc(text, func(found string) string { return map[bool]string{true: "(0", false: "t"}[found[0] == '('] })
}

// exampled is a printed text with examples of what is another at each run.
func exampled(text string) string {
	return differs.ReplaceAllStringFunc(text, func(found string) string {
		switch {
		case strings.HasPrefix(found, "since "):
			return "since 08:10"
		case strings.HasPrefix(found, "by "):
			return "by ada on"
		case found[0] == '(', strings.HasPrefix(found, "from"):
			return found
		}
		return "2026-09-14 08:12:30"[:len(found)]
	})
}
