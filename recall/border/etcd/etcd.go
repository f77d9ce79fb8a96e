// Package etcd keeps the table of shared lines of several hosts in one or more servers
// of etcd, by the gateway that speaks JSON over HTTP, which needs net/http and nothing
// else.
//
// Vocabulary: a server is one member of a cluster; an endpoint is where one is reached;
// a transaction compares revisions of keys and writes only where they are as they were
// read. What is believed is read through the leader (linearizable), never from a server
// that may be behind. The rules are border.Decide: a table is read, an act decided, and
// its few keys are written on the condition that none of them was changed meanwhile.
//
// A request that was not answered may have been carried out, then or later. So an act is
// never just sent again: the table is read and says whether it was done.
//
// The keys are those of https://etcd.io/docs/v3.4/dev-guide/api_grpc_gateway/. Tried with
// servers of version 3.4.23, as Debian has it.
package etcd

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"sync"
	"time"

	"bayhand/recall/border"
)

// Options say which table is meant and where it is.
type Options struct {
	// House is the name of the house, whose keys are apart from those of others.
	House string
	// Servers are where the servers are reached: http://host:2379.
	Servers []string
	// TLS is for servers at https addresses; nil for the system's certificates.
	TLS *tls.Config
	// Table is the identity that the table had before; empty where none is known. A
	// table with another one is refused.
	Table string
	// Last is the table as it was known last; the zero Table where nothing is known.
	Last border.Table
	// Try bounds one request to one server; 0 means 1 s. Patience bounds all that are
	// made for one question; 0 means 5 s, which is longer than an election takes. A fifth
	// of it is enough where nobody could answer: no server is there, or the only one is
	// silent. Pulse is how often the table is read while nothing happens; 0 means 2 s.
	Try, Patience, Pulse time.Duration
	// Lease is how long a grant lasts that is not renewed, in whole seconds; 0 means 15 s.
	Lease time.Duration
	// Now is the clock of the machine if nil.
	Now func() time.Time
}

// Why a table is not used although a server answers.
var (
	// ErrCluster is a server of another cluster than that of the table.
	ErrCluster = errors.New("the servers are not those of the table")
	// ErrRefuses is a server that refuses what is asked, such as one that wants a name
	// and a password.
	ErrRefuses = errors.New("the server refuses")
)

// Border is a table in servers. Run keeps its view new; every other method may be
// called before, meanwhile and from anywhere.
type Border struct {
	options Options
	servers servers
	prefix  string
	// stale is true where what a server knows by itself is believed: a mistake that
	// tests plant.
	stale bool

	// mu guards the fields below.
	mu     sync.Mutex
	view   border.View
	table  string // its identity; empty before it was read
	boards border.Board
	// until is when each grant ends that is held here, by the clock here.
	until map[string]time.Time
}

// New makes a border. No server is asked yet, and none needs to answer; an error is an
// option that cannot be.
func New(o Options) (*Border, error) {
	if o.House == "" || len(o.Servers) == 0 {
		return nil, errors.New("a table in servers needs the name of the house and at least one server")
	}
	for _, text := range o.Servers {
		if at, err := url.Parse(text); err != nil || at.Host == "" || at.Scheme != "http" && at.Scheme != "https" {
			return nil, fmt.Errorf("%q is no address of a server; write http://HOST:2379 or https://HOST:2379", text)
		}
	}
	o.Try, o.Patience, o.Pulse = or(o.Try, time.Second), or(o.Patience, 5*time.Second), or(o.Pulse, 2*time.Second)
	o.Lease = or(o.Lease, usualLease)
	if o.Now == nil {
		o.Now = time.Now
	}
	b := &Border{options: o, prefix: "bayhand/" + o.House + "/", table: o.Table, until: map[string]time.Time{}}
	transport := &http.Transport{TLSClientConfig: o.TLS, MaxIdleConnsPerHost: 4, IdleConnTimeout: time.Minute}
	b.servers = servers{all: trimmed(o.Servers), try: o.Try, grace: o.Patience / 5, client: &http.Client{Transport: transport}}
	b.view = border.View{Table: o.Last.Clone(), Announced: []border.Announcement{}, Cut: &border.Cut{Since: o.Now(), Why: "no server was asked yet"}}
	return b, nil
}

func or(d, usual time.Duration) time.Duration {
	if d == 0 {
		return usual
	}
	return d
}

func trimmed(servers []string) []string {
	all := slices.Clone(servers)
	for i := range all {
		all[i] = strings.TrimRight(all[i], "/")
	}
	return all
}

// Identity is that of the table, once it was read: to be remembered, and given to New
// by the next process. It differs between any two tables, also those of one cluster that
// was set up anew.
func (b *Border) Identity() string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.table
}

// Close lets go of connections. Run has ended before.
func (b *Border) Close() { b.servers.client.CloseIdleConnections() }

// View is the table as it is now, or ErrUnreached with the newest that is known.
func (b *Border) View(ctx context.Context) (border.View, error) {
	asking, stop := context.WithTimeout(ctx, b.options.Patience)
	defer stop()
	if _, err := b.read(asking); err != nil {
		return b.failed(ctx, err)
	}
	return b.newest(), nil
}

// Watch gives the newest view at once, and each that differs.
func (b *Border) Watch(ctx context.Context) <-chan border.View {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.boards.Watch(ctx, b.view.Clone())
}

func (b *Border) newest() border.View {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.view.Clone()
}

// take makes what was read the view, unless something newer was read meanwhile.
func (b *Border) take(read stand, asked time.Time) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if read.table.Revision < b.view.Table.Revision {
		return
	}
	b.table = read.identity
	was := b.view
	b.view = border.View{Table: read.table, Announced: read.announced, Grants: read.grants, Seen: asked, Warnings: b.servers.warnings()}
	if was.Cut != nil || was.Table.Revision != read.table.Revision || !slices.Equal(was.Warnings, b.view.Warnings) {
		b.boards.Post(b.view.Clone())
	}
}

// failed is the answer to a question that was not answered. The table is cut off, unless
// whoever asked did not wait.
func (b *Border) failed(asked context.Context, err error) (border.View, error) {
	if asked.Err() != nil {
		return b.newest(), errors.Join(err, asked.Err())
	}
	return b.cut(err), err
}

// cut is the newest view, from now on with why the table is not reached.
func (b *Border) cut(err error) border.View {
	b.mu.Lock()
	defer b.mu.Unlock()
	since, was := b.options.Now(), b.view.Cut
	if was != nil {
		since = was.Since
	}
	b.view.Cut = &border.Cut{Since: since, Why: err.Error()}
	b.view.Warnings = nil // they were of a table that was reached
	if was == nil || *was != *b.view.Cut {
		b.boards.Post(b.view.Clone())
	}
	return b.view.Clone()
}
