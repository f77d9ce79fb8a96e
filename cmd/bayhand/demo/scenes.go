package demo

import (
	"bytes"
	"context"
	"errors"
	"io/fs"
	"os"
	"slices"
	"strings"

	"bayhand/recall/keep"
	"bayhand/recall/paper"
	"bayhand/recall/words"
)

const mix = "tern-mix-1"

// recallMix recalls a session and shows what was switched and what is asked of
// a person.
func (s *stage) recallMix(ctx context.Context) error {
	s.say("\n1. Recall %s\n\n", mix)
	got, err := s.room.Act(ctx, keep.Act{Do: keep.ToRecall, Session: mix})
	if err = errors.Join(err, got.Err()); err != nil {
		return err
	}
	status := got.Status
	s.agree(ctx, "grid", status)
	s.agree(ctx, "shade", status)
	s.say("\nThe steps left are by hand, in this order:\n\n")
	return s.sheet(status)
}

// sheet shows what is left to do as the person at the bay would see it.
func (s *stage) sheet(status keep.Status) error {
	var page bytes.Buffer
	err := paper.Text(&page, paper.FromStatus(s.studio, status, paper.Caption{}), paper.Width-3)
	for line := range strings.Lines(page.String()) {
		if line = strings.TrimRight(line, "\n"); line != "" {
			line = "   " + line
		}
		s.say("%s\n", line)
	}
	return err
}

// plugMix ticks the moves as the person who makes them would, until the room
// gives the session.
func (s *stage) plugMix(ctx context.Context) error {
	s.say("\n2. You do the steps and report them: bayhand done all\n\n")
	status, err := s.tickAll(ctx)
	if err != nil {
		return err
	}
	s.expect(status.Phase == keep.Given, "%s: %s", mix, words.Phase(status.Phase))
	s.agree(ctx, "grid", status)
	return nil
}

// tickAll says that everything is done that a person can do, as often as it
// takes: a matrix may have to switch in between.
func (s *stage) tickAll(ctx context.Context) (keep.Status, error) {
	status, err := s.room.Status(ctx)
	for round := 0; err == nil && status.Phase == keep.Waiting && round < 20; round++ {
		var got keep.Answer
		got, err = s.room.Act(ctx, keep.Act{Do: keep.WereDone, All: true})
		status, err = got.Status, errors.Join(err, got.Err())
	}
	return status, err
}

// editMix changes the session's file as somebody in an editor would, and waits
// for the room to follow.
func (s *stage) editMix(ctx context.Context) error {
	s.say("\n3. You change sessions/%s.yaml: the spring is sent from output 11\n\n", mix)
	const from, to = "interface/out10 -> spring/in1", "interface/out11 -> spring/in1"
	file := s.path("sessions/" + mix + ".yaml")
	src, err := os.ReadFile(file)
	if err != nil {
		return err
	}
	if !strings.Contains(string(src), from) {
		return errors.New("the line to change is not in the session's file")
	}
	if err := os.WriteFile(file, []byte(strings.Replace(string(src), from, to, 1)), 0o644); err != nil {
		return err
	}
	status, err := s.until(ctx, func(now keep.Status) bool {
		return now.Phase == keep.Given && strings.Contains(readBack(now, "grid"), "out2:in3")
	})
	if err != nil {
		return err
	}
	s.expect(true, "planned again, and no cord is touched")
	s.agree(ctx, "grid", status)
	return nil
}

// turnByHand works the front panel of a matrix, which the studio wants undone.
func (s *stage) turnByHand(ctx context.Context) error {
	s.say("\n4. You turn the monitor matrix by hand: in1 -> out8\n\n")
	before, err := s.ownState(ctx, "shade")
	if err != nil {
		return err
	}
	turned, err := s.children["shade"].ask(ctx, "out8 in1", "closed: ")
	if err != nil {
		return err
	}
	s.expect(turned != before, "the device has it: %s", turned)
	status, err := s.until(ctx, func(now keep.Status) bool {
		own, err := s.ownState(ctx, "shade")
		return err == nil && restored(now, "shade", own, before)
	})
	if err != nil {
		return err
	}
	s.expect(true, "drift: restore in studio.yaml: it is restored")
	s.agree(ctx, "shade", status)
	return nil
}

// pullThePlug takes the power from a matrix in the middle of a recall, and
// gives it back.
func (s *stage) pullThePlug(ctx context.Context) error {
	s.say("\n5. The monitor matrix loses its power, and a session is recalled\n\n")
	s.children["shade"].kill()
	// It had no time to take its line away.
	if err := os.Remove(s.path("shade")); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	got, err := s.room.Act(ctx, keep.Act{Do: keep.ToRecall, Session: "evening-listening"})
	if err != nil {
		return err
	}
	status := got.Status
	s.expect(errors.Is(got.Err(), keep.ErrNoAnswer), "the recall says that a device did not answer")
	s.expect(status.Phase != keep.Given, "and it is not said to be ready: %s", words.Phase(status.Phase))
	if err := s.simulate(ctx, 1); err != nil {
		return err
	}
	s.say("   The power is back, with every crosspoint open.\n")
	_, err = s.until(ctx, func(now keep.Status) bool { return now.Phase == keep.Waiting && answers(now, "shade") })
	if err != nil {
		return err
	}
	s.expect(true, "the daemon found it again by itself")
	if status, err = s.tickAll(ctx); err != nil {
		return err
	}
	s.expect(status.Phase == keep.Given, "evening-listening: %s", words.Phase(status.Phase))
	s.agree(ctx, "grid", status)
	s.agree(ctx, "shade", status)
	return nil
}

func answers(s keep.Status, matrix string) bool {
	return slices.ContainsFunc(s.Matrices, func(m keep.MatrixStatus) bool { return m.Name == matrix && m.Answers })
}
