package main

import (
	"context"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"bayhand/model/studio"
)

// completing is what a shell is told while an argument is typed.
type completing = func(c *cobra.Command, args []string, begun string) ([]string, cobra.ShellCompDirective)

// completeFrom completes an argument that is one of some names; the names are looked
// up when they are asked for. Where they cannot be had, nothing is completed.
func completeFrom(names func(context.Context) []string) completing {
	return func(c *cobra.Command, _ []string, begun string) ([]string, cobra.ShellCompDirective) {
		return beginning(names(c.Context()), begun), cobra.ShellCompDirectiveNoFileComp
	}
}

// completeSessions completes the names of sessions.
func completeSessions(a *app) completing {
	return completeFrom(func(context.Context) []string { return a.files.at.Names() })
}

// completePoints completes the names of ports, jacks, and inputs and outputs of
// matrices, and any further words.
func completePoints(a *app, words ...string) completing {
	return completeFrom(func(context.Context) []string { return append(slices.Clone(words), namesIn(a, points)...) })
}

// completeJacks completes the names of jacks.
func completeJacks(a *app) completing {
	return completeFrom(func(context.Context) []string { return namesIn(a, jacks) })
}

// completeMatrices completes the names of matrices.
func completeMatrices(a *app) completing {
	return completeFrom(func(context.Context) []string { return namesIn(a, matrices) })
}

func matrices(s *studio.Studio) []string {
	var names []string
	for _, m := range s.Matrices {
		names = append(names, m.Name)
	}
	return names
}

// namesIn are names from the studio; none where it cannot be made sense of.
func namesIn(a *app, of func(*studio.Studio) []string) []string {
	p, err := a.files.open()
	if err != nil || p.Studio == nil {
		return nil
	}
	return of(p.Studio)
}

// completeSteps completes the numbers of the steps that are left.
func completeSteps(a *app) completing {
	return completeFrom(func(ctx context.Context) []string {
		p, err := a.files.open()
		if err != nil || p.Room == nil {
			return nil
		}
		status, err := a.room.status(ctx, p)
		if err != nil {
			return nil
		}
		ids := []string{"all"}
		for _, s := range status.Left {
			ids = append(ids, s.ID)
		}
		return ids
	})
}

func beginning(names []string, begun string) []string {
	return slices.DeleteFunc(slices.Clone(names), func(n string) bool { return !strings.HasPrefix(n, begun) })
}

// points are the names of all places of a studio, in the order of its file.
func points(s *studio.Studio) []string {
	var names []string
	for _, g := range s.Gear {
		for _, port := range g.Ports {
			names = append(names, port.Point.String())
		}
	}
	names = append(names, jacks(s)...)
	for _, m := range s.Matrices {
		for n := range m.Inputs {
			names = append(names, m.In(n+1).String())
		}
		for n := range m.Outputs {
			names = append(names, m.Out(n+1).String())
		}
	}
	return names
}

func jacks(s *studio.Studio) []string {
	var names []string
	for _, b := range s.Bays {
		for n := range b.Pairs() {
			names = append(names, b.TopJack(n+1).String())
		}
		for n := range b.Pairs() {
			names = append(names, b.BottomJack(n+1).String())
		}
	}
	for _, b := range s.Boxes {
		for n := range b.Sockets {
			names = append(names, b.Socket(n+1).String())
		}
	}
	return names
}
