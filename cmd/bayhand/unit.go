package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
)

// printUnit prints the unit as the answer.
func (a *app) printUnit(f serviceFlags) error {
	unit, err := a.unit(f)
	if err != nil {
		return err
	}
	return a.say(map[string]string{"unit": unit}, "%s", strings.TrimRight(unit, "\n"))
}

// serviceLine is the daemon's command line, with paths that hold wherever it is
// started.
func (a *app) serviceLine(f serviceFlags) ([]string, error) {
	program, err := os.Executable()
	if err != nil {
		return nil, fmt.Errorf("the program's own path is not known: %w", err)
	}
	if _, err := a.soundStudio(); err != nil {
		return nil, err
	}
	line := []string{program, "daemon", "--log"}
	paths := [][2]string{{"--studio", a.studioFile}, {"--state", a.stateDir}, {"--sessions", a.sessionsDir}}
	if f.as != "" && a.stateDir == "" {
		if paths[1][1], err = a.machineState(); err != nil {
			return nil, err
		}
	}
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
	if f.http != "" {
		line = append(line, "--http", f.http)
	}
	return line, nil
}

// machineState is the state folder of a service of the machine, where systemd
// makes it for the service's user (StateDirectory= in systemd.exec(5)).
func (a *app) machineState() (string, error) {
	name, err := a.serviceName()
	return filepath.Join("/var/lib", name), err
}

// unit has the words of systemd.unit(5), systemd.service(5) and systemd.exec(5).
func (a *app) unit(f serviceFlags) (string, error) {
	line, err := a.serviceLine(f)
	if err != nil {
		return "", err
	}
	p, err := a.openStudio()
	if err != nil {
		return "", err
	}
	title := strings.ReplaceAll(strings.Join(strings.Fields(p.studio.Name), " "), "%", "%%")
	for i, word := range line {
		line[i] = unitWord(word)
	}
	var u strings.Builder
	fmt.Fprintf(&u, unitHead, title, strings.Join(line, " "))
	if f.as == "" {
		u.WriteString(unitEverywhere + "\n[Install]\nWantedBy=default.target\n")
		return u.String(), nil
	}
	own, err := a.ownFolders()
	if err != nil {
		return "", err
	}
	name, err := a.serviceName()
	if err != nil {
		return "", err
	}
	fmt.Fprintf(&u, "User=%s\n", f.as)
	if a.stateDir == "" {
		fmt.Fprintf(&u, "StateDirectory=%s\nStateDirectoryMode=0700\n", name)
	}
	fmt.Fprintf(&u, "ReadWritePaths=%s\n", strings.Join(own, " "))
	u.WriteString(unitEverywhere + unitMachine + "\n[Install]\nWantedBy=multi-user.target\n")
	return u.String(), nil
}

// ownFolders are those that the daemon writes in beside its state folder: the
// studio's, where patches are kept in session files.
func (a *app) ownFolders() ([]string, error) {
	var words []string
	folders := []string{filepath.Dir(a.studioFile), a.sessionsDir, a.stateDir}
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
