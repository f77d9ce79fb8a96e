package border

import (
	"errors"
	"fmt"
	"time"

	"bayhand/model/house"
)

// Files are those that the hosts go by: hosts that read another studio would give places
// other names, or none, and with another file of the house two would keep one room.
type Files struct {
	// Digest is that of the studio as it was read, the same on every machine; empty
	// before the first claim.
	Digest string `json:"digest"`
	// House is the digest of the file of the house, and Duties what it gives to each
	// host; empty before a host entered.
	House  string                  `json:"house,omitempty"`
	Duties map[string]house.Duties `json:"duties,omitempty"`
	Host   string                  `json:"host,omitempty"`
	By     string                  `json:"by,omitempty"`
	At     time.Time               `json:"at"`
}

// Entry is which files a host had when its daemon entered last.
type Entry struct {
	Studio string `json:"studio"`
	House  string `json:"house"`
	// Mark tells the daemon from others that say they are the same host, Machine where
	// it runs.
	Mark    string    `json:"mark"`
	Machine string    `json:"machine,omitempty"`
	At      time.Time `json:"at"`
	// Under is the version that the hosts went by when it entered.
	Under string `json:"under,omitempty"`
}

// version tells what the hosts go by from anything else that they did.
func (f Files) version() string { return f.Digest + " " + f.House }

// Same says whether two entries are of one daemon with the same files.
func (e Entry) Same(other Entry) bool {
	return e.Studio == other.Studio && e.House == other.House && e.Mark == other.Mark
}

// ErrFiles is a claim by a host with other files; the error is a *FilesError.
var ErrFiles = errors.New("this host has other files")

// FilesError is a claim that was planned with another studio than that of the table, or
// by a host that has another file of the house.
type FilesError struct {
	Own   string // the digest here
	House bool   // true for the file of the house, false for the studio's
	Table Files
}

func (e *FilesError) Error() string {
	what, theirs := "studio", e.Table.Digest
	if e.House {
		what, theirs = "house", e.Table.House
	}
	return fmt.Sprintf("the %s file here (%.8s) is not that of the house (%.8s, from host %s on %s): bring both to one version; "+
		"where this one is the newer, bayhand house adopt makes it that of the house",
		what, e.Own, theirs, e.Table.Host, e.Table.At.Local().Format("2006-01-02 15:04"))
}

// Is makes it an ErrFiles.
func (e *FilesError) Is(target error) bool { return target == ErrFiles }

// differ is why a claim is refused that comes from other files; nil where it does not.
func (f Files) differ(a Act) error {
	switch {
	case a.House != "" && f.House != "" && a.House != f.House:
		return &FilesError{a.House, true, f}
	case a.Files != "" && f.Digest != "" && a.Files != f.Digest:
		return &FilesError{a.Files, false, f}
	}
	return nil
}

// files are those of an act.
func (a Act) files() *Files { return &Files{a.Files, a.House, a.Duties, a.Host, a.By, a.At} }

// enter notes which files a host has. The first that has some makes them those of the
// house; who comes later, and who comes again, changes them not.
func enter(t Table, a Act) Change {
	var c Change
	own := Entry{a.Files, a.House, a.Mark, a.Machine, a.At, t.Files.version()}
	if was, is := t.Hosts[a.Host]; !is || !was.Same(own) {
		c.Host, c.Entry = a.Host, own
	}
	if t.Files.House == "" || t.Files.Digest == "" {
		files := *a.files()
		if t.Files.Digest != "" {
			files = t.Files
			files.House, files.Duties = a.House, a.Duties
		}
		c.Files = &files
	}
	return c
}

// agree makes the files of all hosts those that they go by. Each must have entered with
// them since the hosts go by others: a host that entered before may not know these, which
// a person adopted meanwhile. Nobody waits for a host that never entered, or that keeps
// nothing by either version; but for one that is off, which may come back with the older.
func agree(t Table, a Act) Change {
	files := a.files()
	if files.version() == t.Files.version() {
		return Change{}
	}
	own := Entry{Studio: a.Files, House: a.House, Under: t.Files.version()}
	for host, e := range t.Hosts {
		_, keeps := a.Duties[host]
		_, kept := t.Files.Duties[host]
		if (keeps || kept || host == a.Host) && (e.Studio != own.Studio || e.House != own.House || e.Under != own.Under) {
			return Change{}
		}
	}
	if _, entered := t.Hosts[a.Host]; !entered {
		return Change{}
	}
	return Change{Files: files}
}
