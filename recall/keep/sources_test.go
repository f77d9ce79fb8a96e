package keep_test

import (
	"context"
	"strings"
	"testing"

	"bayhand/recall/keep"
)

// reads starts a keeper that reads files as they are made by the test.
func (b *bench) reads(otherwise func(*keep.Files)) {
	config := b.config()
	load := config.Load
	config.Load = func(ctx context.Context, sessions []string) keep.Files {
		files := load(ctx, sessions)
		b.set(func() { otherwise(&files) })
		return files
	}
	b.startWith(config)
}

// A session that is not there is not said to have the errors of one that is called alike.
func TestUnknownSessionBesideOneWithErrors(t *testing.T) {
	onBench(t, func(b *bench) {
		b.reads(func(files *keep.Files) {
			files.Names = []string{"plain", "tern", "vox-dub"}
			files.Problems = []keep.Problem{{Code: "session-file", Severity: "error", Message: "sessions/vox-dub.yaml:3:1: no such gear"}}
		})
		for session, want := range map[string]string{"vox": "there is no session vox; there are plain, tern, vox-dub", "dub": "there is no session dub", "vox-dub": "vox-dub.yaml:3:1"} {
			_, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: session})
			errorIs(t, err, keep.ErrUnknownSession)
			if err == nil || !strings.Contains(err.Error(), want) {
				t.Errorf("%s: %v, want %q", session, err, want)
			}
		}
	})
}

// While the studio's file has errors no session is read: one that is there is not said to be
// missing.
func TestRecallWhileTheStudioHasErrors(t *testing.T) {
	onBench(t, func(b *bench) {
		sound := true
		b.reads(func(files *keep.Files) {
			if !sound {
				*files = keep.Files{Names: []string{"heron", "tern"}, Problems: []keep.Problem{{Code: "unknown-gear", Severity: "error", Message: "studio.yaml:4:2: no such gear"}}}
			}
		})
		b.status()
		b.set(func() { sound = false })
		for session, want := range map[string]string{"tern": "studio.yaml:4:2: no such gear", "curlew": "there is no session curlew"} {
			_, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: session})
			errorIs(t, err, keep.ErrUnknownSession)
			if err == nil || !strings.Contains(err.Error(), want) {
				t.Errorf("%s: %v, want %q", session, err, want)
			}
		}
	})
}
