package keep_test

import (
	"context"
	"testing"
	"testing/synctest"
	"time"

	"bayhand/recall/keep"
)

// A device that never answers holds up no recall: it is taken without it, which is
// said, and the device is brought to it once it answers after all.
func TestSilentDeviceHoldsUpNobody(t *testing.T) {
	onBench(t, func(b *bench) {
		grid := b.units["grid"]
		grid.change(func(u *unit) { u.silent = true })
		b.start()
		begun := time.Now()
		for i, most := range []time.Duration{6 * time.Second, 2 * time.Second, 2 * time.Second} {
			session := []string{"tern", "plain", "tern"}[i]
			s, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: session})
			errorIs(t, err, keep.ErrNoAnswer)
			if took := time.Since(begun); s.Session != session || took > most {
				t.Errorf("after %v it is in %q", took, s.Session)
			}
			b.pass(25 * time.Second) // it is being asked again now and then
			begun = time.Now()
		}
		grid.change(func(u *unit) { u.silent = false })
		b.pass(2 * time.Minute)
		_, err := asked(b.keeper, keep.Act{Do: keep.WereDone, All: true})
		if err != nil {
			t.Error(err)
		}
		s := b.status()
		if s.Session != "tern" || s.Phase != keep.Given {
			t.Errorf("once it answers: %s, %s", s.Session, s.Phase)
		}
	})
}

// Files that are never given keep the keeper from nothing but reading them: it ends at
// once when it is told to.
func TestEndsWhileFilesHang(t *testing.T) {
	onBench(t, func(b *bench) {
		hang := make(chan struct{})
		config := b.config()
		config.Load = func(context.Context, []string) keep.Files {
			<-hang
			return keep.Files{}
		}
		b.startWith(config)
		synctest.Wait()
		begun := time.Now()
		b.end()
		if took := time.Since(begun); took > 0 {
			t.Errorf("it ended after %v", took)
		}
		close(hang)
	})
}
