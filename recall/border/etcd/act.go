package etcd

import (
	"context"
	"crypto/rand"
	"encoding/json"
	"fmt"

	"bayhand/recall/border"
)

const (
	rangePath = "/v3/kv/range"
	txnPath   = "/v3/kv/txn"
	watchPath = "/v3/watch"

	leasePath  = "/v3/lease/grant"
	renewPath  = "/v3/lease/keepalive"
	revokePath = "/v3/lease/revoke"

	statusPath = "/v3/maintenance/status"
)

// Act carries out an act: all that it changes in one transaction, which is written only
// if what it was decided by still stands. Where it does not, it is decided anew.
func (b *Border) Act(ctx context.Context, act border.Act) (border.View, error) {
	asking, stop := context.WithTimeout(ctx, b.options.Patience)
	defer stop()
	s, err := b.read(asking)
	for err == nil {
		change, why := border.Decide(s.table, act)
		if why != nil || change.Nothing() {
			return b.newest(), why
		}
		var done bool
		if s, done, err = b.write(asking, s, change, act); done {
			return b.newest(), err
		}
	}
	return b.failed(ctx, err)
}

// read is the table as it is now.
func (b *Border) read(ctx context.Context) (stand, error) {
	asked := b.options.Now()
	var a rangeAnswer
	if err := b.servers.ask(ctx, rangePath, b.everything(), &a); err != nil {
		return stand{}, err
	}
	s, err := b.stood(a)
	if err != nil {
		return stand{}, err
	}
	if s.identity == "" && b.Identity() == "" {
		return b.begin(ctx)
	}
	if err := b.known(s); err != nil {
		return stand{}, err
	}
	b.take(s, asked)
	return s, nil
}

// known refuses a table that is not the one which was known before.
func (b *Border) known(s stand) error {
	switch was := b.Identity(); {
	case was == "" || was == s.identity:
		return nil
	case s.identity == "":
		return fmt.Errorf("%w: they have no table of %s, and this host has claims in one; restore the servers' backup, or forget the table "+
			"on every host (bayhand house forget), and each room claims again what its cords are in", ErrCluster, b.options.House)
	default:
		return fmt.Errorf("%w: they have a table of %s, and this host has claims in another one; look at servers: in the file of the house, or forget "+
			"the table on this host (bayhand house forget)", ErrCluster, b.options.House)
	}
}

// begin makes an empty table where there is none, and reads what there is then.
func (b *Border) begin(ctx context.Context) (stand, error) {
	text, err := json.Marshal(described{border.Format, b.options.House, rand.Text()})
	if err != nil {
		return stand{}, err
	}
	key := b.prefix + tableKey
	var o outcome
	err = b.servers.ask(ctx, txnPath, transaction{
		Compare: []comparison{unchanged(key, 0)},
		Success: []operation{{Put: &putQuestion{Key: []byte(key), Value: text}}},
		Failure: []operation{},
	}, &o)
	if err != nil {
		return stand{}, err
	}
	return b.read(ctx)
}

// write puts a change into the servers if all that it is about is as it was read, and
// reads what stands then. It is done where the change was written.
func (b *Border) write(ctx context.Context, s stand, c border.Change, act border.Act) (stand, bool, error) {
	ops, keys := b.writes(c)
	t := transaction{Success: append(ops, operation{Range: b.everything()}), Failure: []operation{{Range: b.everything()}}}
	keys = append(keys, b.prefix+tableKey)
	if act.Do != border.ToTakeAway {
		keys = append(keys, b.prefix+filesKey)
	}
	for _, key := range unique(keys) {
		t.Compare = append(t.Compare, unchanged(key, s.mods[key]))
	}
	asked := b.options.Now()
	var o outcome
	if err := b.servers.ask(ctx, txnPath, t, &o); err != nil {
		return stand{}, false, err
	}
	if len(o.Responses) == 0 || o.Responses[len(o.Responses)-1].Range == nil {
		return stand{}, false, fmt.Errorf("%w: a transaction without what was asked of it", ErrRefuses)
	}
	read := *o.Responses[len(o.Responses)-1].Range
	read.Header = o.Header
	after, err := b.stood(read)
	if err == nil {
		err = b.known(after)
	}
	if err == nil {
		b.take(after, asked)
	}
	return after, o.Succeeded && err == nil, err
}

// Announce tells the other hosts how a room is.
func (b *Border) Announce(ctx context.Context, a border.Announcement) error {
	ctx, stop := context.WithTimeout(ctx, b.options.Patience)
	defer stop()
	text, err := json.Marshal(a)
	if err != nil {
		return err
	}
	put := operation{Put: &putQuestion{Key: []byte(b.prefix + announceKey + a.Room), Value: text}}
	var o outcome
	return b.servers.ask(ctx, txnPath, transaction{Compare: []comparison{}, Success: []operation{put}, Failure: []operation{}}, &o)
}
