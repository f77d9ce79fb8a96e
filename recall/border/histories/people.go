package histories

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"sync"

	"bayhand/recall/border"
)

// People are rooms that claim and release at random, each at its own border of one
// table. What was not answered they ask again, as a room does; now and then they repeat
// what is long done, as a network does.
type People struct {
	// Borders are of one table, one a room.
	Borders []border.Border
	// Acts is how many acts each room does.
	Acts int
	Seed uint64
}

// Do has all rooms act at once, and returns when all have done so.
func (p People) Do(ctx context.Context, r *Recorder) {
	var all sync.WaitGroup
	for i, b := range p.Borders {
		one := person{r: r, border: b, client: i, room: fmt.Sprintf("room-%d", i), others: len(p.Borders),
			lots: rand.New(rand.NewPCG(p.Seed, uint64(i)))}
		all.Go(func() { one.acts(ctx, p.Acts) })
	}
	all.Wait()
}

type person struct {
	r      *Recorder
	border border.Border
	client int
	room   string
	others int
	lots   *rand.Rand
	number uint64
	done   []border.Act
}

func (p *person) acts(ctx context.Context, count int) {
	for range count {
		if ctx.Err() != nil {
			return
		}
		switch p.lots.IntN(8) {
		case 0, 1:
			_, _ = p.r.Look(ctx, p.client, p.border)
		case 2:
			p.repeat(ctx)
		case 3:
			p.takeAway(ctx)
		default:
			p.act(ctx)
		}
	}
}

// act claims or releases some places. It is asked again as long as nobody knows what
// came of it, a few times.
func (p *person) act(ctx context.Context) {
	p.number++
	a := border.Act{Do: border.ToClaim, Room: p.room, Number: p.number, Session: "drawn", Places: p.some()}
	if p.lots.IntN(3) == 0 {
		a.Do = border.ToRelease
	}
	p.done = append(p.done, a)
	for range 3 {
		if _, err := p.r.Act(ctx, p.client, p.border, a); answerOf(err) != isUnknown {
			return
		}
	}
}

// repeat does what was done before once more, as it comes late or twice.
func (p *person) repeat(ctx context.Context) {
	if len(p.done) > 0 {
		_, _ = p.r.Act(ctx, p.client, p.border, p.done[max(0, len(p.done)-1-p.lots.IntN(3))])
	}
}

func (p *person) takeAway(ctx context.Context) {
	from := fmt.Sprintf("room-%d", p.lots.IntN(p.others))
	_, err := p.r.Act(ctx, p.client, p.border, border.Act{Do: border.ToTakeAway, Room: from, By: p.room, Mark: border.NewMark(), Places: p.some()[:1]})
	if errors.Is(err, border.ErrUsage) {
		panic(err) // the drawing is wrong
	}
}

func (p *person) some() []border.Place {
	var some []border.Place
	for _, i := range p.lots.Perm(len(p.r.places))[:1+p.lots.IntN(2)] {
		some = append(some, p.r.places[i])
	}
	return some
}
