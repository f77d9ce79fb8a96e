package border

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"

	"bayhand/recall/disk"
)

// Format is that of a kept table. Another one is refused and left as it is.
const Format = 1

// FileName is the usual name of the table in a state folder.
const FileName = "border.json"

// mostFile bounds what is read of a table's file, in bytes: a table of a thousand lines
// has a fifth of a megabyte.
const mostFile = 16 << 20

// File is a Store in one file.
type File string

type kept struct {
	Format int   `json:"format"`
	Table  Table `json:"table"`
}

// Load reads the table. A file of another format, or that is damaged, is an error.
func (f File) Load() (Table, error) {
	text, err := disk.Read(string(f), mostFile)
	if errors.Is(err, fs.ErrNotExist) {
		return Table{}, nil
	}
	if err != nil {
		return Table{}, err
	}
	var k kept
	if err := json.Unmarshal(text, &k); err != nil {
		return Table{}, fmt.Errorf("%s is damaged and left as it is (%w): restore a backup, or move it away and report what is plugged", f, err)
	}
	if k.Format != Format {
		return Table{}, OtherFormat(string(f), k.Format)
	}
	return k.Table, nil
}

// OtherFormat is the error of a table that another version of the program has written.
func OtherFormat(where string, format int) error {
	return fmt.Errorf("%w: the table in %s has format %d, and this bayhand reads %d; use the version that the other hosts use",
		ErrFormat, where, format, Format)
}

// ErrFormat is a table of another format.
var ErrFormat = errors.New("a table of another format")

// Save puts the table in the place of the one before, whole or not at all.
func (f File) Save(t Table) error {
	text, err := json.Marshal(kept{Format, t})
	if err != nil {
		return err
	}
	return disk.Replace(string(f), text, nil)
}
