package text

import (
	"slices"
	"strings"

	"bayhand/model/house"
	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

// ReadHouse reads the file of a house whose rooms and matrices are those of a studio.
// It is complete if no problem is an error.
func ReadHouse(file string, src []byte, s *studio.Studio) (*house.House, Places, Problems) {
	r, root := open(file, src)
	h := &houseReader{reader: r, studio: s, house: &house.House{}, kept: map[string]claimant{}, bound: map[string]claimant{}}
	if root != nil {
		r.attempt(func() { h.file(root) })
	}
	return h.house, r.places, r.told()
}

// houseReader reads one house file.
type houseReader struct {
	*reader
	studio *studio.Studio
	house  *house.House
	// kept and bound are which host has each room, and each matrix.
	kept, bound map[string]claimant
	// waiting are the matrices for which hosts stand by.
	waiting []claimant
}

// claimant is a host that names something, and where.
type claimant struct {
	host string
	at   *node
}

func (r *houseReader) file(root *node) {
	v := r.fields(root, houseFields)
	r.house.Name = v.text("house")
	if r.mistakes() == 0 && r.house.Name == "" {
		r.fault(root, "empty", "write house: Heron Boathouse", "the house has no name")
	}
	r.servers(v.of["servers"])
	r.certificates(v.of["certificates"])
	for _, e := range v.of["hosts"].eachEntry() {
		if err := name.CheckOwner(e.key.text); err != nil {
			r.nameFault(e.key, err)
			continue
		}
		r.host(e.key.text, r.fields(e.value, hostFields))
	}
	r.standBys()
	if n := root.field("hosts"); n != nil && (v.has("hosts") || n.empty()) {
		r.complete(n)
	}
	if len(r.house.Hosts) > 1 && len(r.house.Servers) == 0 && r.mistakes() == 0 {
		r.fault(v.of["hosts"], "missing", `write servers: ["http://HOST:2379"]`, "%d hosts share lines, and no servers are named that keep the table of them", len(r.house.Hosts))
	}
}

func (r *houseReader) servers(n *node) {
	for _, item := range n.all() {
		switch {
		case !isAddress(item.text):
			r.fault(item, "address", "write http://HOST:2379", "%s is no address of a server", quoteText(item.text))
		case slices.Contains(r.house.Servers, item.text):
			r.fault(item, "duplicate", "", "%s stands twice", item.text)
		default:
			r.house.Servers = append(r.house.Servers, item.text)
		}
	}
}

// isAddress says whether a text begins as an address of HTTP does, with a host.
func isAddress(text string) bool {
	scheme, rest, _ := strings.Cut(text, "://")
	host, _, _ := strings.Cut(rest, "/")
	return (scheme == "http" || scheme == "https") && host != "" && !strings.ContainsAny(text, " \t\n")
}

func (r *houseReader) certificates(n *node) {
	v := r.fields(n, certificateFields)
	r.house.Authority, r.house.Certificate, r.house.Key = v.text("authority"), v.text("own"), v.text("key")
	if v.has("own") != v.has("key") {
		r.fault(n, "missing", "write {own: host.pem, key: host.key}", "a certificate and its key belong together")
	}
}

func (r *houseReader) host(called string, v values) {
	h := house.Host{Name: called, Page: v.text("page")}
	if n := v.of["page"]; n != nil && !isAddress(n.text) {
		r.fault(n, "address", "write http://HOST:7420", "%s is no address of a page", quoteText(n.text))
	}
	h.Rooms = r.own(v.of["rooms"], called, r.kept, "room", r.rooms(), "the studio has no room %s; it has %s", "is kept by")
	h.Lines = r.own(v.of["lines"], called, r.bound, "line", r.matrices(), "the studio has no matrix %s; it has %s", "is connected to")
	standing := map[string]claimant{}
	h.StandBy = r.own(v.of["stand-by"], called, standing, "matrix", r.matrices(), "the studio has no matrix %s; it has %s", "is stood by for by")
	for _, item := range v.of["stand-by"].all() {
		if slices.Contains(h.StandBy, item.text) {
			r.waiting = append(r.waiting, claimant{called, item})
		}
	}
	r.house.Hosts = append(r.house.Hosts, h)
}

// standBys refuses a host that would drive a matrix beside another one: a cable has one
// end, and a device that lets several in lets two drive it.
func (r *houseReader) standBys() {
	for _, w := range r.waiting {
		first, is := r.bound[w.at.text]
		device := r.studio.MatrixNamed(w.at.text).Device
		switch {
		case device == nil:
			r.fault(w.at, "stand-by", "leave it out", "%s has no device, so there is nothing to stand by for", w.at.text)
		case !is:
			r.fault(w.at, "stand-by", "write it into the lines: of the host that drives it", "%s is connected to no host yet", w.at.text)
		case first.host == w.host:
			r.fault(w.at, "stand-by", "leave it out", "%s is connected to host %s itself", w.at.text, w.host)
		default:
			r.fence(w, first.host, device.Link)
		}
	}
}

// fence refuses a stand-by for a line that nothing keeps two hosts from.
func (r *houseReader) fence(w claimant, first, link string) {
	switch house.FenceOf(link) {
	case house.Cable:
		r.fault(w.at, "stand-by", phrase.Put("leave it out; where host {host} is gone for good, plug the cable over and change lines:", "host", first),
			"%s is on a cable of host %s (%s), which no other host reaches", w.at.text, first, link)
	case house.NoFence:
		r.fault(w.at, "stand-by", "leave it out, or put a server of serial lines (RFC 2217) before it that lets in one client",
			"the device at %s lets several hosts in at once, and %s is never driven by two", link, w.at.text)
	case house.FenceUnknown:
		r.fault(w.at, "stand-by", "add clients=newest to the link if a new connection ends the old one, or clients=one if a second is refused",
			"it is not said how the server of %s keeps two hosts apart", w.at.text)
	case house.OneClient, house.NewestClient:
	}
}

// own are the items of a list that a host has and no other host: what the studio does
// not have, or what another has as well, is reported.
func (r *houseReader) own(n *node, host string, all map[string]claimant, what string, legal []string, unknown, has string) []string {
	var own []string
	for _, item := range n.all() {
		first, taken := all[item.text]
		switch {
		case !slices.Contains(legal, item.text):
			r.fault(item, "unknown-name", maybe(item.text, legal), unknown, quoteText(item.text), oneOf(legal))
		case taken && first.host == host:
			r.fault(item, "duplicate", "", "%s stands twice", item.text)
		case taken:
			r.fault(item, "two-hosts", "take one of them out", "the %s %s %s host %s in line %d already, and has one host", what, item.text, has, first.host, first.at.place.Line)
		default:
			all[item.text] = claimant{host, item}
			own = append(own, item.text)
		}
	}
	return own
}

// complete refuses a house in which a room or a driven matrix has no host.
func (r *houseReader) complete(n *node) {
	for _, room := range r.rooms() {
		if _, is := r.kept[room]; !is {
			r.report(r.placeOf(n), "no-host", phrase.Put("write {room} into the rooms: of a host", "room", room), "no host keeps the room %s", room)
		}
	}
	for _, m := range r.studio.Matrices {
		if _, is := r.bound[m.Name]; !is && m.Device != nil {
			r.report(r.placeOf(n), "no-host", phrase.Put("write {matrix} into the lines: of a host", "matrix", m.Name), "no host has the line of the matrix %s", m.Name)
		}
	}
}

func (r *houseReader) rooms() []string {
	var all []string
	for _, room := range r.studio.Rooms {
		all = append(all, room.Name)
	}
	return all
}

func (r *houseReader) matrices() []string {
	var all []string
	for _, m := range r.studio.Matrices {
		all = append(all, m.Name)
	}
	return all
}
