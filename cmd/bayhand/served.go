package main

import (
	"context"
	"fmt"
	"io"
	"slices"
	"sync"
	"time"

	"bayhand/model/device"
	"bayhand/model/house"
	"bayhand/recall/border"
	"bayhand/recall/border/etcd"
	"bayhand/recall/keep"
	"bayhand/recall/words"
)

// grants are the served lines that this host may drive now: those of its own that others
// stand by for, and those that it stands by for itself. Who has no grant never dials.
type grants struct {
	wanted []etcd.Served
	host   string
	// of is the host on which each line hangs.
	of map[string]string
	// changed is called when this host may drive more, or less.
	changed func()
	// still says whether the grant of a line has not ended since it was told.
	still func(line string) bool

	// mu guards the fields below.
	mu    sync.Mutex
	now   map[string]border.Grant
	since map[string]time.Time // when each was had or lost last
	open  map[string]io.Closer // the link of each, while it is open, or what ends its opening
}

// newGrants are those that a host of a house asks for; nil where it needs none.
func newGrants(h house.House, host house.Host) *grants {
	g := &grants{host: host.Name, of: map[string]string{}, changed: func() {}, still: func(string) bool { return false },
		now: map[string]border.Grant{}, since: map[string]time.Time{}, open: map[string]io.Closer{}}
	for _, line := range h.Served() {
		i := slices.IndexFunc(h.Hosts, func(one house.Host) bool { return slices.Contains(one.Lines, line) })
		first := slices.Contains(host.Lines, line)
		if i < 0 || !first && !slices.Contains(host.StandBy, line) {
			continue
		}
		g.of[line] = h.Hosts[i].Name
		g.wanted = append(g.wanted, etcd.Served{Line: line, First: first})
		g.since[line] = wall()
	}
	if len(g.wanted) == 0 {
		return nil
	}
	return g
}

// needed says whether a line needs a grant here.
func (g *grants) needed(line string) bool {
	return g != nil && g.of[line] != ""
}

// has says whether this host may drive a line.
func (g *grants) has(line string) bool {
	g.mu.Lock()
	defer g.mu.Unlock()
	return g.now[line].Epoch > 0 && g.still(line)
}

// told takes a grant, or its loss: then the link is closed before it returns.
func (g *grants) told(one border.Grant) {
	g.mu.Lock()
	g.now[one.Line] = one
	g.since[one.Line] = wall()
	link := g.open[one.Line]
	if one.Epoch == 0 {
		delete(g.open, one.Line)
		if link != nil {
			_ = link.Close()
		}
	}
	g.mu.Unlock()
	g.changed()
}

// opened keeps the link of a line, to be closed when the grant is lost. It is an error
// where that was lost while the link was opened.
func (g *grants) opened(line string, link io.Closer) error {
	g.mu.Lock()
	defer g.mu.Unlock()
	if g.now[line].Epoch == 0 || !g.still(line) {
		return fmt.Errorf("this host has no grant for %s any more", line)
	}
	g.open[line] = link
	return nil
}

// opening ends the opening of a link when it is closed.
type opening context.CancelFunc

func (o opening) Close() error { o(); return nil }

// lineEnd is how long a device may take to answer half a line.
const lineEnd = 200 // milliseconds

// afresh is a description whose links begin with the end of a line: on a line of several
// hosts the one before may have been cut off in the middle of one. What the device says to that is passed over.
func afresh(d *device.Description) *device.Description {
	end := d.Frame.Requests
	if len(end) == 0 {
		end = d.Frame.End
	}
	if d.Frame.Kind != device.Lines || len(end) == 0 {
		return d
	}
	to := *d
	first := device.Step{Send: []device.Field{{Kind: device.Literal, Bytes: end}}, Pause: lineEnd}
	to.Opening = append([]device.Step{first}, d.Opening...)
	return &to
}

// problems say which lines are driven by another host than theirs, or by none.
func (g *grants) problems(view border.View) []keep.Problem {
	if g == nil {
		return nil
	}
	g.mu.Lock()
	defer g.mu.Unlock()
	var all []keep.Problem
	for _, w := range g.wanted {
		i := slices.IndexFunc(view.Grants, func(one border.Grant) bool { return one.Line == w.Line && one.Host != g.host })
		own, since := g.now[w.Line].Epoch > 0, g.since[w.Line]
		switch {
		case own && !w.First:
			all = append(all, keep.Problem{Code: "stands-in", Severity: "advice", Since: since, Message: words.Put(
				"{matrix} is driven here for host {host}, which is gone; its own daemon has it back when this one ends", "matrix", w.Line, "host", g.of[w.Line])})
		case own || !w.First:
		case view.Cut != nil:
			all = append(all, keep.Problem{Code: "no-grant", Severity: "error", Since: since, Message: words.Put(
				"{matrix} is not driven here: other hosts can reach its line, and the table that says who may is not reached since {time}; what is connected to this host by cable goes on",
				"matrix", w.Line, "time", view.Cut.Since.Local().Format("15:04"))})
		case i >= 0:
			all = append(all, keep.Problem{Code: "no-grant", Severity: "warning", Since: since, Message: words.Put(
				"{matrix} is driven by host {host}, which stands by for it; end its daemon for a moment to have it back", "matrix", w.Line, "host", view.Grants[i].Host)})
		default:
			all = append(all, keep.Problem{Code: "no-grant", Severity: "warning", Since: since, Message: words.Put(
				"{matrix} is not driven yet: this host is asking for its line", "matrix", w.Line)})
		}
	}
	return all
}
