package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
)

// printUnit prints the unit as the answer.
func (s *servicer) printUnit(f serviceFlags) error {
	unit, err := s.unit(f)
	if err != nil {
		return err
	}
	return s.out.say(map[string]string{"unit": unit}, "%s", strings.TrimRight(unit, "\n"))
}

// line is the daemon's command line, with paths that hold wherever it is
// started.
func (s *servicer) line(f serviceFlags) ([]string, error) {
	program, err := os.Executable()
	if err != nil {
		return nil, fmt.Errorf("the program's own path is not known: %w", err)
	}
	if _, err := s.files.sound(); err != nil {
		return nil, err
	}
	line := []string{program, "daemon", "--log"}
	paths := [][2]string{{"--studio", s.files.at.Studio}, {"--state", s.room.stateDir}, {"--sessions", s.files.at.Sessions}}
	if f.as != "" && s.room.stateDir == "" {
		if paths[1][1], err = s.machineState(); err != nil {
			return nil, err
		}
	}
	if err := s.housed(f); err != nil {
		return nil, err
	}
	paths = append(paths, [2]string{"--house", f.house})
	for _, p := range paths {
		if p[1] == "" {
			continue
		}
		path, err := filepath.Abs(p[1])
		if err != nil {
			return nil, err
		}
		line = append(line, p[0], path)
	}
	if f.host != "" {
		line = append(line, "--house-host", f.host)
	}
	if f.http != "" {
		line = append(line, "--http", f.http)
	}
	return line, nil
}

// housed refuses a host that the file of the house does not have.
func (s *servicer) housed(f serviceFlags) error {
	if f.house == "" && f.host == "" {
		return nil
	}
	in := &housed{file: f.house, host: f.host}
	return in.check(&app{out: s.out, files: s.files, parts: &parts{}})
}

// machineState is the state folder of a service of the machine, where systemd
// makes it for the service's user (StateDirectory= in systemd.exec(5)).
func (s *servicer) machineState() (string, error) {
	name, err := s.name()
	return filepath.Join("/var/lib", name), err
}

// unit has the words of systemd.unit(5), systemd.service(5) and systemd.exec(5).
func (s *servicer) unit(f serviceFlags) (string, error) {
	line, err := s.line(f)
	if err != nil {
		return "", err
	}
	p, err := s.files.open()
	if err != nil {
		return "", err
	}
	title := strings.ReplaceAll(strings.Join(strings.Fields(p.Studio.Name), " "), "%", "%%")
	for i, word := range line {
		line[i] = unitWord(word)
	}
	var u strings.Builder
	fmt.Fprintf(&u, unitHead, title, strings.Join(line, " "))
	if f.as == "" {
		u.WriteString(unitEverywhere + "\n[Install]\nWantedBy=default.target\n")
		return u.String(), nil
	}
	own, err := s.ownFolders()
	if err != nil {
		return "", err
	}
	name, err := s.name()
	if err != nil {
		return "", err
	}
	fmt.Fprintf(&u, "User=%s\n", f.as)
	if s.room.stateDir == "" {
		fmt.Fprintf(&u, "StateDirectory=%s\nStateDirectoryMode=0700\n", name)
	}
	fmt.Fprintf(&u, "ReadWritePaths=%s\n", strings.Join(own, " "))
	u.WriteString(unitEverywhere + unitMachine + "\n[Install]\nWantedBy=multi-user.target\n")
	return u.String(), nil
}

// ownFolders are those that the daemon writes in beside its state folder: the
// studio's, where patches are kept in session files.
func (s *servicer) ownFolders() ([]string, error) {
	var words []string
	folders := []string{filepath.Dir(s.files.at.Studio), s.files.at.Sessions, s.room.stateDir}
	for i, folder := range folders {
		if folder == "" && i > 0 {
			continue
		}
		path, err := filepath.Abs(folder)
		if err != nil {
			return nil, err
		}
		words = append(words, unitWord("-"+path))
	}
	return words, nil
}

// unitHead bounds the memory that the daemon may take (systemd.resource-control(5)):
// above softMemory it tidies up more often, above MemoryHigh it is slowed down, and at
// MemoryMax it is ended and started again. The largest room that was measured takes a
// fifth of it.
const unitHead = `[Unit]
Description=bayhand, the hand at the patch bay of %s
After=network.target sound.target

[Service]
Type=notify
ExecStart=%s
Restart=on-failure
RestartSec=2
WatchdogSec=30
UMask=0077
MemoryHigh=768M
MemoryMax=1G
MemorySwapMax=0
TasksMax=256
`

// unitEverywhere holds in a service of the machine and in one of a person.
const unitEverywhere = `NoNewPrivileges=yes
LockPersonality=yes
MemoryDenyWriteExecute=yes
RestrictNamespaces=yes
RestrictRealtime=yes
RestrictSUIDSGID=yes
RestrictAddressFamilies=AF_UNIX AF_INET AF_INET6 AF_NETLINK
SystemCallArchitectures=native
SystemCallFilter=@system-service
SystemCallErrorNumber=EPERM
`

// unitMachine shuts away what a service of the machine does not need. The devices
// are serial lines and sound cards with their MIDI ports.
const unitMachine = `SupplementaryGroups=dialout audio
DevicePolicy=closed
DeviceAllow=char-ttyS rw
DeviceAllow=char-ttyAMA rw
DeviceAllow=char-ttyUSB rw
DeviceAllow=char-ttyACM rw
DeviceAllow=char-alsa rw
CapabilityBoundingSet=
AmbientCapabilities=
PrivateTmp=yes
ProtectSystem=strict
ProtectHome=read-only
ProtectClock=yes
ProtectControlGroups=yes
ProtectHostname=yes
ProtectKernelLogs=yes
ProtectKernelModules=yes
ProtectKernelTunables=yes
ProtectProc=invisible
ProcSubset=pid
RemoveIPC=yes
SystemCallFilter=~@privileged @resources
`

// unitWord quotes a word of a command line as systemd.service(5) reads it.
func unitWord(word string) string {
	word = strings.NewReplacer(`%`, `%%`, `$`, `$$`, `\`, `\\`, `"`, `\"`).Replace(word)
	if strings.ContainsAny(word, " \t'\"\\;") {
		return `"` + word + `"`
	}
	return word
}
