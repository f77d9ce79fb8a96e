package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/google/renameio/v2/maybe"

	"bayhand/recall/page"
)

// madeFile keeps what was ticked of the recall sheet in the state folder, so that
// a daemon that comes back still knows it.
type madeFile struct{ folder string }

const madeName = "made.json"

// Load reads what was made; where there is no file, nothing was.
func (f madeFile) Load() (page.Made, error) {
	file := filepath.Join(f.folder, madeName)
	src, err := os.ReadFile(file)
	if errors.Is(err, fs.ErrNotExist) {
		return page.Made{}, nil
	}
	if err != nil {
		return page.Made{}, err
	}
	var made page.Made
	if err := json.Unmarshal(src, &made); err != nil {
		return page.Made{}, fmt.Errorf("%s makes no sense: %w; take it away to begin with nothing ticked", file, err)
	}
	return made, nil
}

// Save writes the file whole, so that a reader never sees half of it.
func (f madeFile) Save(made page.Made) error {
	src, err := json.Marshal(made)
	if err != nil {
		return err
	}
	return maybe.WriteFile(filepath.Join(f.folder, madeName), append(src, '\n'), 0o600)
}
