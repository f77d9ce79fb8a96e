package etcd

import (
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"bayhand/recall/border"
)

// The keys of a table, behind the prefix of its house. Each value is JSON.
const (
	tableKey    = "table"     // which table it is: described
	filesKey    = "files"     // border.Files
	placeKey    = "place/"    // and a place: border.Hold
	roomKey     = "room/"     // and a room: border.Last
	takingKey   = "taking/"   // and a time and a place: border.Taking
	personKey   = "person/"   // and the mark of a person's act: when it was asked for
	hostKey     = "host/"     // and a host: border.Entry
	announceKey = "announce/" // and a room: border.Announcement
	grantKey    = "grant/"    // and a line, with a lease: given
)

// described is what a table says of itself.
type described struct {
	Format int    `json:"format"`
	House  string `json:"house"`
	// Identity is drawn when the table is made.
	Identity string `json:"identity"`
}

// stand is what stands in the servers at one revision.
type stand struct {
	identity  string // empty where there is no table yet
	table     border.Table
	announced []border.Announcement
	grants    []border.Grant // in the order of their lines
	// mods are the revisions at which keys were changed last.
	mods map[string]uint64
}

// everything is the question for all keys of the table.
func (b *Border) everything() *rangeQuestion {
	return &rangeQuestion{Key: []byte(b.prefix), End: []byte(b.prefix[:len(b.prefix)-1] + "0"), Serializable: b.stale} // 0 is the byte after /
}

// stood makes sense of all keys of a table.
func (b *Border) stood(a rangeAnswer) (stand, error) {
	s := stand{table: border.Table{Revision: a.Header.Revision}.Clone(), mods: map[string]uint64{}}
	var told border.Announcements
	for _, p := range a.Pairs {
		key := string(p.Key)
		s.mods[key] = p.Mod
		if line, is := strings.CutPrefix(key, b.prefix+grantKey); is {
			g, err := granted(line, p)
			if err != nil {
				return stand{}, err
			}
			s.grants = append(s.grants, g)
			continue
		}
		if err := s.entry(strings.TrimPrefix(key, b.prefix), p.Value, &told); err != nil {
			return stand{}, fmt.Errorf("%s in the table: %w", key, err)
		}
	}
	s.announced = told.Sorted()
	slices.SortStableFunc(s.table.Takings, func(x, y border.Taking) int { return x.At.Compare(y.At) })
	return s, nil
}

// entry takes one key and its value.
func (s *stand) entry(key string, value []byte, told *border.Announcements) error {
	read := func(v any) error { return json.Unmarshal(value, v) }
	switch {
	case key == tableKey:
		var d described
		if err := read(&d); err != nil {
			return err
		}
		s.identity = d.Identity
		if d.Format != border.Format {
			return border.OtherFormat("the servers", d.Format)
		}
	case key == filesKey:
		return read(&s.table.Files)
	case strings.HasPrefix(key, placeKey):
		var h border.Hold
		err := read(&h)
		s.table.Holds[border.Place(key[len(placeKey):])] = h
		return err
	case strings.HasPrefix(key, roomKey):
		var l border.Last
		err := read(&l)
		s.table.Rooms[key[len(roomKey):]] = l
		return err
	case strings.HasPrefix(key, takingKey):
		var t border.Taking
		err := read(&t)
		s.table.Takings = append(s.table.Takings, t)
		return err
	case strings.HasPrefix(key, personKey):
		var at time.Time
		err := read(&at)
		s.table.Persons[key[len(personKey):]] = at
		return err
	case strings.HasPrefix(key, hostKey):
		var e border.Entry
		err := read(&e)
		s.table.Hosts[key[len(hostKey):]] = e
		return err
	case strings.HasPrefix(key, announceKey):
		var a border.Announcement
		err := read(&a)
		told.Put(a)
		return err
	}
	return nil
}

// writes are the operations of a change, and the keys that they are about.
func (b *Border) writes(c border.Change) (ops []operation, keys []string) {
	set := func(key string, value any) {
		text, err := json.Marshal(value)
		if err != nil {
			panic(err) // these types have nothing that JSON lacks
		}
		ops, keys = append(ops, operation{Put: &putQuestion{Key: []byte(key), Value: text}}), append(keys, key)
	}
	for p, h := range c.Set {
		set(b.prefix+placeKey+string(p), h)
	}
	for _, p := range c.Drop {
		key := b.prefix + placeKey + string(p)
		ops, keys = append(ops, operation{Delete: &deleteQuestion{Key: []byte(key)}}), append(keys, key)
	}
	if c.Room != "" {
		set(b.prefix+roomKey+c.Room, c.Last)
	}
	for _, t := range c.Takings {
		set(b.prefix+takingKey+strconv.FormatInt(t.At.UnixNano(), 10)+"/"+string(t.Place), t)
	}
	if c.Host != "" {
		set(b.prefix+hostKey+c.Host, c.Entry)
	}
	if c.Mark != "" {
		set(b.prefix+personKey+c.Mark, c.At)
	}
	if c.Files != nil {
		set(b.prefix+filesKey, c.Files)
	}
	return ops, keys
}
