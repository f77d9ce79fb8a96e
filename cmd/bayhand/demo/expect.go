package demo

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"bayhand/model/patch"
	"bayhand/recall/keep"
)

// expectations counts what was expected and what came otherwise.
type expectations struct {
	met    int
	failed []string
}

// ErrOtherwise is a demo in which something went otherwise than it should.
var ErrOtherwise = errors.New("something went otherwise than it should")

// expect notes whether something is as it should be, and shows it.
func (s *stage) expect(ok bool, format string, args ...any) {
	what := fmt.Sprintf(format, args...)
	if ok {
		s.met++
		s.say("   yes  %s\n", what)
		return
	}
	s.failed = append(s.failed, what)
	s.say("   NO   %s\n", what)
}

// agree compares three things for a matrix: what the session asks for, what the
// daemon read back, and what the simulator itself has closed.
func (s *stage) agree(ctx context.Context, matrix string, status keep.Status) {
	own, err := s.ownState(ctx, matrix)
	if err != nil {
		s.expect(false, "%s: %v", matrix, err)
		return
	}
	read := readBack(status, matrix)
	s.expect(read == own, "%s: what was read back is what the device itself says: %s", matrix, own)
	if status.Plan == nil {
		return
	}
	if now, waits := soFar(status, matrix); waits && read == spelled(now) {
		s.expect(true, "%s: and it is what was planned; the other steps are by hand", matrix)
		return
	}
	wanted := spelled(patch.Patch(status.Plan.Target).Of(matrix))
	s.expect(read == wanted, "%s: and it is what was planned", matrix)
}

// soFar is what a matrix should have by now; waits says whether a step of its
// waits for others.
func soFar(status keep.Status, matrix string) (now []patch.Crosspoint, waits bool) {
	now = patch.Patch(status.Plan.Target).Of(matrix)
	for _, step := range status.Left {
		if step.By != matrix {
			continue
		}
		waits = waits || len(step.After) > 0
		for _, c := range step.Crosspoints {
			now = slices.DeleteFunc(now, func(x patch.Crosspoint) bool { return x.Output == c.Output })
			if !c.Was.IsZero() {
				now = append(now, patch.Crosspoint{Output: c.Output, Input: c.Was})
			}
		}
	}
	return now, waits
}

// ownState asks the simulator by its front panel, which is not the line that
// the daemon talks on.
func (s *stage) ownState(ctx context.Context, matrix string) (string, error) {
	return s.children[matrix].ask(ctx, "show", "closed: ")
}

// restored says that a matrix has by itself what it had before, and that a status says so
// too: one that was told just before has what was read while it was otherwise.
func restored(now keep.Status, matrix, own, before string) bool {
	return own == before && readBack(now, matrix) == before
}

// readBack is what the device answered the daemon; what was only sent is not in
// it.
func readBack(status keep.Status, matrix string) string {
	var points []patch.Crosspoint
	for _, c := range status.Known.Crosspoints {
		if c.Output.Owner == matrix && c.How == keep.Read && !c.Input.IsZero() {
			points = append(points, patch.Crosspoint{Output: c.Output, Input: c.Input})
		}
	}
	return spelled(points)
}

// spelled writes crosspoints as a front panel does.
func spelled(points []patch.Crosspoint) string {
	slices.SortFunc(points, patch.Crosspoint.Compare)
	var all []string
	for _, c := range points {
		all = append(all, c.Output.Port()+":"+c.Input.Port())
	}
	if len(all) == 0 {
		return "none"
	}
	return strings.Join(all, " ")
}

// until waits for a status of the room that is as it should be. What is waited for
// takes seconds; a machine that does much else at the same time takes longer.
func (s *stage) until(ctx context.Context, ok func(keep.Status) bool) (keep.Status, error) {
	ctx, cancel := context.WithTimeout(ctx, 9*patience)
	defer cancel()
	events, err := s.room.Events(ctx)
	if err != nil {
		return keep.Status{}, err
	}
	var last keep.Status
	for status := range events {
		if last = status; ok(status) {
			return status, nil
		}
	}
	return last, fmt.Errorf("the room did not come to what was waited for: %w", ErrOtherwise)
}
