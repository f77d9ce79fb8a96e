package house

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"strings"
)

// Duties are what a house gives to one host: the rooms that it keeps, the matrices that
// hang on it, and those for which it stands by. Each list is sorted.
type Duties struct {
	Rooms   []string `json:"rooms,omitempty"`
	Lines   []string `json:"lines,omitempty"`
	StandBy []string `json:"stand_by,omitempty"`
}

// Duties are those of the hosts that have some, by host. Two files give the same if they
// differ in addresses, in order, or in hosts that keep nothing.
func (h House) Duties() map[string]Duties {
	all := map[string]Duties{}
	for _, one := range h.Hosts {
		if len(one.Rooms)+len(one.Lines)+len(one.StandBy) > 0 {
			all[one.Name] = Duties{slices.Sorted(slices.Values(one.Rooms)), slices.Sorted(slices.Values(one.Lines)), slices.Sorted(slices.Values(one.StandBy))}
		}
	}
	return all
}

// Digest tells duties from others: the same text on every machine for the same duties.
func Digest(duties map[string]Duties) string {
	var text strings.Builder
	for _, d := range Differences(duties, nil) {
		fmt.Fprintf(&text, "%d %s %q\n", d.What, d.Name, d.Here)
	}
	sum := sha256.Sum256([]byte(text.String()))
	return hex.EncodeToString(sum[:])
}

// What is a kind of duty.
type What int

// The kinds of duty.
const (
	_ What = iota
	Room
	Line
	StandBy
)

// Difference is a duty that two files of a house give to different hosts.
type Difference struct {
	What What
	Name string // of the room or matrix
	// Here and There are the hosts that have it by the one file and by the other,
	// sorted; more than one for a stand-by, none where a file gives it to nobody.
	Here, There []string
}

// Differences are what two files of a house give to different hosts, sorted; none where
// their digests are the same.
func Differences(here, there map[string]Duties) []Difference {
	type duty struct {
		what What
		name string
	}
	found := map[duty]*Difference{}
	note := func(all map[string]Duties, side func(*Difference) *[]string) {
		for host, d := range all {
			for what, names := range map[What][]string{Room: d.Rooms, Line: d.Lines, StandBy: d.StandBy} {
				for _, name := range names {
					key := duty{what, name}
					if found[key] == nil {
						found[key] = &Difference{What: what, Name: name}
					}
					to := side(found[key])
					*to = append(*to, host)
				}
			}
		}
	}
	note(here, func(d *Difference) *[]string { return &d.Here })
	note(there, func(d *Difference) *[]string { return &d.There })
	var all []Difference
	for _, d := range found {
		slices.Sort(d.Here)
		slices.Sort(d.There)
		if !slices.Equal(d.Here, d.There) {
			all = append(all, *d)
		}
	}
	slices.SortFunc(all, func(a, b Difference) int {
		return cmp.Or(cmp.Compare(a.What, b.What), strings.Compare(a.Name, b.Name))
	})
	return all
}
