package page

import (
	"context"
	"errors"
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"sync"
)

// Made are the settings of a recall sheet that somebody said to have made, in one
// recall: the next one begins with none.
type Made struct {
	Recall uint64   `json:"recall"`
	Keys   []string `json:"keys"`
}

// Settings keep what was made over a restart.
type Settings interface {
	Load() (Made, error)
	Save(Made) error
}

// ticks are the settings made, shared by all browsers.
type ticks struct {
	settings Settings
	// mu guards made, which is read from settings once where there are any.
	mu   sync.Mutex
	made Made
	read bool
}

// in are the keys that are made in a recall.
func (t *ticks) in(recall uint64) (map[string]bool, error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	if err := t.load(); err != nil {
		return nil, err
	}
	all := map[string]bool{}
	if t.made.Recall == recall {
		for _, key := range t.made.Keys {
			all[key] = true
		}
	}
	return all, nil
}

func (t *ticks) load() error {
	if t.read || t.settings == nil {
		return nil
	}
	made, err := t.settings.Load()
	if err != nil {
		return fmt.Errorf("what was set cannot be read: %w", err)
	}
	t.made, t.read = made, true
	return nil
}

// set says that a setting is made, or is not.
func (t *ticks) set(recall uint64, key string, made bool) error {
	t.mu.Lock()
	defer t.mu.Unlock()
	if err := t.load(); err != nil {
		return err
	}
	now := Made{Recall: recall}
	if t.made.Recall == recall {
		now.Keys = slices.DeleteFunc(slices.Clone(t.made.Keys), func(k string) bool { return k == key })
	}
	if made {
		now.Keys = append(now.Keys, key)
	}
	if t.settings != nil {
		if err := t.settings.Save(now); err != nil {
			return fmt.Errorf("what was set cannot be kept: %w", err)
		}
	}
	t.made, t.read = now, true
	return nil
}

// setting takes the form of one setting: made, or not after all. It must be one of
// the sheet that is shown now.
func (p *page) setting(form url.Values) (func(context.Context) error, error) {
	recall, err := strconv.ParseUint(form.Get("recall"), 10, 64)
	if err != nil {
		return nil, errors.New("the form names no recall; reload the page")
	}
	key := form.Get("id")
	return func(ctx context.Context) error {
		status, err := p.Room.Status(ctx)
		if err != nil {
			return err
		}
		if status.Recall != recall {
			return errors.New("another recall came since; reload the page")
		}
		if sheet := p.sheetOf(ctx, status); sheet == nil || !sheet.has(key) {
			return errors.New("the recall sheet has no such setting any more; reload the page")
		}
		if err := p.ticks.set(recall, key, form.Get("do") == "set"); err != nil {
			return err
		}
		p.Changes.Tell()
		return nil
	}, nil
}
