// Package house holds what a house of several hosts is: which host keeps which room and
// drives which matrix, and where the table of shared lines is.
//
// Vocabulary: a host is a machine on which a daemon runs; it keeps its rooms and has the
// lines of its matrices; the servers have the table in which rooms claim what they
// share. A served line is reached over the network from several hosts; a fence is what
// keeps a second one from it, and a stand-by is a host that may take it over.
package house

import "slices"

// House is what the file of a house says.
type House struct {
	Name string
	// Servers are where the table of shared lines is kept; none where one host keeps it
	// by itself.
	Servers []string
	// Authority, Certificate and Key are files for servers at https addresses; each may
	// be empty.
	Authority, Certificate, Key string
	Hosts                       []Host
}

// Host is one machine of a house.
type Host struct {
	Name string
	// Page is the address of its page, for screens elsewhere; it may be empty.
	Page string
	// Rooms are those that it keeps; Lines the matrices that hang on it.
	Rooms, Lines []string
	// StandBy are matrices on a served line that it drives while it has the grant: their
	// own host has it first.
	StandBy []string
}

// Host is the one with a name, and whether there is one.
func (h House) Host(name string) (Host, bool) {
	i := slices.IndexFunc(h.Hosts, func(one Host) bool { return one.Name == name })
	if i < 0 {
		return Host{}, false
	}
	return h.Hosts[i], true
}

// Of is the host that keeps a room, and whether one does.
func (h House) Of(room string) (Host, bool) {
	i := slices.IndexFunc(h.Hosts, func(one Host) bool { return slices.Contains(one.Rooms, room) })
	if i < 0 {
		return Host{}, false
	}
	return h.Hosts[i], true
}

// Names are those of all hosts, in the order of the file.
func (h House) Names() []string {
	var all []string
	for _, one := range h.Hosts {
		all = append(all, one.Name)
	}
	return all
}
