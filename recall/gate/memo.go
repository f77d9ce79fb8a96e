package gate

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"sync"

	"bayhand/recall/border"
	"bayhand/recall/disk"
)

// MemoName is the usual name of a Memo in a state folder.
const MemoName = "house.json"

// Memo is a file in which a host writes down what it knew last of a table that servers
// keep: a host that starts while it is cut off goes on with the lines that it holds.
type Memo struct {
	File string
	// Identity is that of the table; it gives nothing until a table was read.
	Identity func() string

	// known is what the host knows by a table.
	known func(border.Table) Known
	// mu guards the fields below.
	mu      sync.Mutex
	newest  border.Table
	written []byte
}

// Known is what a host knew last of a table.
type Known struct {
	Format   int          `json:"format"`
	Identity string       `json:"identity"`
	Table    border.Table `json:"table"`
	// Returning are lines that the table was asked to take back, and that it has not as held by
	// this host; sorted.
	Returning []border.Place `json:"returning,omitempty"`
}

// mostMemo bounds what is read, in bytes.
const mostMemo = 16 << 20

// Load is what was written last; nothing where nothing was.
func (m *Memo) Load() (Known, error) {
	text, err := disk.Read(m.File, mostMemo)
	if errors.Is(err, fs.ErrNotExist) {
		return Known{}, nil
	}
	if err != nil {
		return Known{}, err
	}
	var k Known
	if err := json.Unmarshal(text, &k); err != nil {
		return Known{}, fmt.Errorf("%s is damaged (%w): take it away, and the table is read from the servers", m.File, err)
	}
	if k.Format != border.Format {
		return Known{}, border.OtherFormat(m.File, k.Format)
	}
	return k, nil
}

// errNoTable is a table that was not read yet.
var errNoTable = errors.New("no table was read yet")

// write writes down what is known by the newest table of all that were given. It is on the disk when
// it returns. Nil writes nothing.
func (m *Memo) write(t border.Table) error {
	if m == nil {
		return nil
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	if t.Revision >= m.newest.Revision {
		m.newest = t
	}
	k := m.known(m.newest)
	if k.Identity = m.Identity(); k.Identity == "" {
		return errNoTable
	}
	text, err := json.Marshal(k)
	if err != nil || bytes.Equal(text, m.written) {
		return err
	}
	if err := disk.Replace(m.File, text, nil); err != nil {
		return err
	}
	m.written = text
	return nil
}

// Follow writes down each table that is seen, until the views end. A disk that takes nothing is no
// reason to end: then less is known after the next start, and no line is given back.
func (m *Memo) Follow(views <-chan border.View) {
	for v := range views {
		if v.Cut == nil {
			_ = m.write(v.Table)
		}
	}
}
