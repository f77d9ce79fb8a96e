package serve

import (
	"crypto/rand"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/google/renameio/v2/maybe"
)

// EntryFile is the name of the entry in a state folder.
const EntryFile = "daemon.json"

// Entry is where a server is to be found, and the word that opens it.
type Entry struct {
	// Address is a base URL, such as http://127.0.0.1:7420.
	Address string `json:"address"`
	Token   string `json:"token"`
	PID     int    `json:"pid"`
	Studio  string `json:"studio"`
	// Host is which of a house's this one is; empty for a daemon by itself.
	Host string `json:"host,omitempty"`
	// Version is that of the program that listens; empty where it is so old that it
	// does not say.
	Version string `json:"version,omitempty"`
	// Certificate is the SHA-256 sum of the server's; empty without TLS.
	Certificate string `json:"certificate,omitempty"`
}

func newToken() string {
	b := make([]byte, 32)
	// rand.Read never fails: it ends the process where there is no randomness.
	_, _ = rand.Read(b)
	return hex.EncodeToString(b)
}

// write puts the entry into the folder in one go, for its owner only.
func (e Entry) write(folder string) error {
	text, err := json.MarshalIndent(e, "", "  ")
	if err != nil {
		return err
	}
	return maybe.WriteFile(filepath.Join(folder, EntryFile), append(text, '\n'), 0o600)
}

// remove takes the entry away, unless another server has put its own there.
func (e Entry) remove(folder string) error {
	found, err := readEntry(folder)
	if errors.Is(err, ErrNobody) || err == nil && found.Token != e.Token {
		return nil
	}
	return errors.Join(err, os.Remove(filepath.Join(folder, EntryFile)))
}

// ReadEntry reads what stands in a state folder. Whoever wrote it may be gone; where there
// is none it is ErrNobody.
func ReadEntry(folder string) (Entry, error) { return readEntry(folder) }

func readEntry(folder string) (Entry, error) {
	file := filepath.Join(folder, EntryFile)
	text, err := os.ReadFile(file)
	if errors.Is(err, fs.ErrNotExist) {
		return Entry{}, fmt.Errorf("%w: there is no %s", ErrNobody, file)
	}
	if err != nil {
		return Entry{}, err
	}
	var e Entry
	if err := json.Unmarshal(text, &e); err != nil {
		return Entry{}, fmt.Errorf("%w: %s makes no sense: %v", ErrNobody, file, err)
	}
	if e.Address == "" || e.Token == "" {
		return Entry{}, fmt.Errorf("%w: %s has no address or no token", ErrNobody, file)
	}
	return e, nil
}
