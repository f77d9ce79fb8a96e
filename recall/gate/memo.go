package gate

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"

	"bayhand/recall/border"
	"bayhand/recall/disk"
)

// MemoName is the usual name of a Memo in a state folder.
const MemoName = "house.json"

// Memo is a file in which a host writes down what it knew last of a table that servers
// keep: a host that starts while it is cut off goes on with the lines that it holds.
type Memo string

// Known is what a host knew last of a table.
type Known struct {
	Format   int          `json:"format"`
	Identity string       `json:"identity"`
	Table    border.Table `json:"table"`
}

// mostMemo bounds what is read, in bytes.
const mostMemo = 16 << 20

// Load is what was written last; nothing where nothing was.
func (m Memo) Load() (Known, error) {
	text, err := disk.Read(string(m), mostMemo)
	if errors.Is(err, fs.ErrNotExist) {
		return Known{}, nil
	}
	if err != nil {
		return Known{}, err
	}
	var k Known
	if err := json.Unmarshal(text, &k); err != nil {
		return Known{}, fmt.Errorf("%s is damaged (%w): take it away, and the table is read from the servers", m, err)
	}
	if k.Format != border.Format {
		return Known{}, border.OtherFormat(string(m), k.Format)
	}
	return k, nil
}

// Follow writes down each table that is seen, until the views end. A disk that takes
// nothing is no reason to end: then less is known after the next start.
func (m Memo) Follow(_ context.Context, views <-chan border.View, identity func() string) error {
	written := uint64(0)
	for v := range views {
		if v.Cut != nil || identity() == "" || v.Table.Revision == written {
			continue
		}
		if text, err := json.Marshal(Known{border.Format, identity(), v.Table}); err == nil && disk.Replace(string(m), text, nil) == nil {
			written = v.Table.Revision
		}
	}
	return nil
}
