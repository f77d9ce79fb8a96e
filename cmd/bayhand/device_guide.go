package main

import (
	"bufio"
	"context"
	"errors"
	"strings"

	"bayhand/drivers/matrix"
	"bayhand/model/device"
	"bayhand/model/patch"
	"bayhand/model/studio"
	"bayhand/recall/words"
)

// guide leads a person through a first conversation with a device: nothing is sent
// before they have said that it is safe, one crosspoint is switched only if they name
// it, and it is put back.
type guide struct {
	out     *output
	answers *bufio.Scanner
}

// asks asks, and gives what was typed; nothing at the end of the input.
func (g *guide) asks(question string) string {
	g.out.printf("%s ", question)
	if !g.answers.Scan() {
		g.out.printf("\n")
		return ""
	}
	return strings.TrimSpace(g.answers.Text())
}

func (g *guide) agrees(question string) bool {
	word := strings.ToLower(g.asks(words.Put("{question} [y/N]", "question", question)))
	return word == "y" || word == "yes"
}

// errDeclined is a person who does not go on.
var errDeclined = errors.New("nothing was sent")

// before asks whether all is safe.
func (g *guide) before(d *device.Description) error {
	g.out.printf("%s\n", d.Label)
	g.out.lines("", "  ", "Turn loudspeakers and headphones down, and switch phantom power off: what is switched may be heard.")
	g.out.lines("", "  ", "Loudspeaker lines and mains have no business at a matrix for line level; follow local codes, and leave mains to licensed people.")
	for _, sentence := range d.Prepare {
		g.out.lines("  first: ", "    ", sentence)
	}
	for _, sentence := range d.Faults {
		g.out.lines("  known fault: ", "    ", sentence)
	}
	if !g.agrees("Is all of that done?") {
		return errDeclined
	}
	return nil
}

// switchOne switches the crosspoint that the person names, and puts it back.
func (g *guide) switchOne(ctx context.Context, driven *matrix.Matrix, m studio.Matrix, before []patch.Crosspoint) error {
	item := g.asks("Switch one output, with nothing loud connected to it? Write out1=in2, or nothing to leave all as it is:")
	if item == "" {
		return nil
	}
	closing, off, err := wantedSwitches(m, []string{item})
	if err != nil {
		return err
	}
	if err := switched(ctx, g.out, driven, before, closing, off); err != nil {
		return err
	}
	if !driven.ReadsBack() {
		if !g.agrees(words.Put("Does its panel show {item}?", "item", item)) {
			return &failure{cannot, errors.New("what was sent was not done; look at its channel, its parameters and the description")}
		}
		g.out.lines("", "  ", "It cannot be read, so it is left as it is now.")
		return nil
	}
	return g.putBack(ctx, driven, before)
}

// putBack goes back to what was closed before.
func (g *guide) putBack(ctx context.Context, driven *matrix.Matrix, before []patch.Crosspoint) error {
	now, err := driven.Read(ctx)
	if err != nil {
		return triedFailure(err)
	}
	without := func(list, other []patch.Crosspoint) []patch.Crosspoint {
		left := map[patch.Crosspoint]bool{}
		for _, c := range other {
			left[c] = true
		}
		var rest []patch.Crosspoint
		for _, c := range list {
			if !left[c] {
				rest = append(rest, c)
			}
		}
		return rest
	}
	if err := driven.Switch(ctx, without(now, before), without(before, now)); err != nil {
		return triedFailure(err)
	}
	if now, err = driven.Read(ctx); err != nil {
		return triedFailure(err)
	}
	if len(without(now, before))+len(without(before, now)) > 0 {
		return &failure{cannot, errors.New(words.Put("it could not be restored; it has closed: {now}", "now", closedList(now)))}
	}
	g.out.printf("it is as it was: %s\n", closedList(now))
	return nil
}
