package journal

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/google/renameio/v2/maybe"
)

// The files beside the journal that say who holds it: its own, and the daemon's
// with an address.
const (
	holderEnding = ".holder"
	daemonFile   = "daemon.json"
)

type held struct {
	PID     int    `json:"pid"`
	Address string `json:"address"`
}

// sign writes down who holds the journal. The lock is the kernel's; this is only
// for the message that another process gives, so a disk that takes nothing is no
// reason not to open.
func (j *Journal) sign() {
	if text, err := json.Marshal(held{PID: os.Getpid()}); err == nil {
		_ = maybe.WriteFile(j.file+holderEnding, text, 0o600)
	}
}

func (j *Journal) unsign() error {
	if j.cannot != nil {
		return nil // the name there is another's
	}
	if err := os.Remove(j.file + holderEnding); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return nil
}

// holder says in words who holds the journal, as far as that was written down.
func holder(file string) string {
	own := read(file + holderEnding)
	daemon := read(filepath.Join(filepath.Dir(file), daemonFile))
	switch {
	case own.PID == 0:
		return "a process that did not say who it is; end it, or wait until it is done"
	case daemon.PID == own.PID && daemon.Address != "":
		return fmt.Sprintf("the daemon at %s, process %d; ask it, or end it first", daemon.Address, own.PID)
	}
	return fmt.Sprintf("process %d; wait until it is done, or end it", own.PID)
}

func read(file string) held {
	var h held
	text, err := os.ReadFile(file)
	if err != nil || json.Unmarshal(text, &h) != nil {
		return held{}
	}
	return h
}
