package etcd

import (
	"context"
	"encoding/json"
	"errors"
	"slices"
	"time"
)

// Run keeps the view new until the context ends: it reads the table, waits until a
// server says that something was changed behind that revision, and reads again; and
// every pulse, since a server that has stopped says nothing.
func (b *Border) Run(ctx context.Context) error {
	for n := 0; ctx.Err() == nil; n++ {
		if n%probeEvery == 0 {
			_ = b.servers.probe(ctx) // reading says what is wrong
		}
		asking, stop := context.WithTimeout(ctx, b.options.Patience)
		s, err := b.read(asking)
		stop()
		if err != nil && ctx.Err() == nil {
			b.cut(err)
		}
		b.rest(ctx, s, err)
	}
	return nil
}

// probeEvery is after how many looks every server is asked how it is.
const probeEvery = 5

// rest returns when the table is to be read again.
func (b *Border) rest(ctx context.Context, s stand, failed error) {
	ctx, stop := context.WithTimeout(ctx, b.options.Pulse)
	defer stop()
	if failed == nil && b.changes(ctx, s.table.Revision+1) == nil {
		return
	}
	if failed == nil || errors.Is(failed, ErrRefuses) || errors.Is(failed, ErrCluster) {
		<-ctx.Done()
		return
	}
	select { // it was asked for as long as the patience lasts
	case <-time.After(mostPause):
	case <-ctx.Done():
	}
}

// changes returns nil when something was changed since a revision, or what was asked for
// is no longer there.
func (b *Border) changes(ctx context.Context, from uint64) error {
	var q watchQuestion
	all := b.everything()
	q.Create.Key, q.Create.End, q.Create.Start = all.Key, all.End, from
	text, err := json.Marshal(q)
	if err != nil {
		return err
	}
	response, err := b.servers.open(ctx, b.servers.current(), watchPath, text)
	if err != nil {
		return err
	}
	defer response.Body.Close()
	for stream := json.NewDecoder(response.Body); ; {
		var a watchAnswer
		if err := stream.Decode(&a); err != nil {
			return err
		}
		if len(a.Result.Events) > 0 || a.Result.Canceled || a.Result.Compacted > 0 || a.Error != nil {
			return nil
		}
	}
}

// unique are texts, each once, sorted.
func unique(texts []string) []string {
	slices.Sort(texts)
	return slices.Compact(texts)
}
