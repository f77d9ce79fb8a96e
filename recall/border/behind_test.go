package border_test

import (
	"context"
	"sync"

	"bayhand/recall/border"
)

// behind is a border whose looks lag one behind, as those of a follower that has not
// heard the newest.
type behind struct {
	border.Border
	// mu guards the field below.
	mu   sync.Mutex
	last border.View
}

func (b *behind) View(ctx context.Context) (border.View, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	was := b.last
	view, err := b.Border.View(ctx)
	b.last = view
	return was, err
}
