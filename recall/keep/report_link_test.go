package keep_test

import (
	"context"
	"testing"
	"time"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
	"bayhand/recall/keep"
)

// slowToSay takes a second to say who it is.
type slowToSay struct{ talker }

func (s slowToSay) Identify(ctx context.Context) (string, error) {
	<-time.After(time.Second)
	return s.talker.Identify(ctx)
}

// opening has the link to one matrix say something as soon as it is open.
func (b *bench) opening(matrix string, says keep.Report) keep.Config {
	u := b.units[matrix]
	u.talks = make(chan keep.Report, 1)
	config := b.config()
	open := config.Open
	config.Open = func(ctx context.Context, m studio.Matrix) (keep.Matrix, error) {
		opened, err := open(ctx, m)
		if t, is := opened.(talker); is {
			u.talks <- says
			return slowToSay{t}, err
		}
		return opened, err
	}
	return config
}

// What a device says as its link is opened is not lost: one that cannot be asked says it
// once.
func TestReportBeforeTheFirstAnswer(t *testing.T) {
	onBench(t, func(b *bench) {
		u, far1 := b.units["far"], name.At("far", "out", 1)
		u.deaf = true
		config := b.opening("far", keep.Report{Closed: []patch.Crosspoint{{Output: far1, Input: name.At("far", "in", 1)}}})
		u.turn(far1, name.At("far", "in", 1))
		u.heard[far1] = name.At("far", "in", 1)
		b.startWith(config)
		b.pass(3 * time.Second)
		if s := b.status(); how(s, far1) != "read in1" {
			t.Errorf("far/out1 is %q", how(s, far1))
		}
	})
}

// One that can be asked is asked again, and what it said is no answer.
func TestReportBeforeTheFirstReading(t *testing.T) {
	onBench(t, func(b *bench) {
		u, reads := b.units["grid"], 0
		config := b.opening("grid", keep.Report{Off: []name.Point{out(4)}})
		u.turn(out(4), in(1))
		u.reads = &reads
		config.Poll = -1
		b.startWith(config)
		b.pass(3 * time.Second)
		if s := b.status(); how(s, out(4)) != "read in1" || reads != 2 {
			t.Errorf("out4 is %q after %d readings", how(s, out(4)), reads)
		}
	})
}

// What a device that cannot be asked said before its link was lost is not known after
// that: it may have been switched off since.
func TestReportBeforeTheLinkIsLost(t *testing.T) {
	onBench(t, func(b *bench) {
		u, far2 := b.units["far"], name.At("far", "out", 2)
		u.deaf, u.talks = true, make(chan keep.Report, 1)
		b.start()
		b.status()
		u.change(func(u *unit) { u.slow, u.pulledAfter = time.Second, 1 })
		ended := b.later(ctx, keep.Act{Do: keep.ToRecall, Session: "tern"})
		b.pass(time.Second / 2)
		u.turnAloud(far2, name.At("far", "in", 1))
		b.pass(time.Second)
		_ = b.outcome(ended)
		if s := b.status(); how(s, far2) == "read in1" {
			t.Errorf("far/out2 is %q of a device that is gone", how(s, far2))
		}
	})
}
