package main

import (
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"bayhand/model/studio"
)

// completeSessions completes the names of sessions.
func (a *app) completeSessions(_ *cobra.Command, _ []string, begun string) ([]string, cobra.ShellCompDirective) {
	return beginning(a.sessionNames(), begun), cobra.ShellCompDirectiveNoFileComp
}

// completePoints completes the names of ports, jacks, and inputs and outputs of
// matrices.
func (a *app) completePoints(_ *cobra.Command, _ []string, begun string) ([]string, cobra.ShellCompDirective) {
	p, err := a.openStudio()
	if err != nil || p.studio == nil {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	return beginning(points(p.studio), begun), cobra.ShellCompDirectiveNoFileComp
}

// completeJacks completes the names of jacks.
func (a *app) completeJacks(_ *cobra.Command, _ []string, begun string) ([]string, cobra.ShellCompDirective) {
	p, err := a.openStudio()
	if err != nil || p.studio == nil {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	return beginning(jacks(p.studio), begun), cobra.ShellCompDirectiveNoFileComp
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
