package main

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"bayhand/model/plan"
	"bayhand/recall/keep"
)

func replacedCommand(a *app) *cobra.Command {
	return ofMatrix(a, keep.Replaced, "Report that the device of a matrix was replaced",
		`Say that the device which answers at the link of MATRIX is the right one,
though it is not the one that was driven there before. Until then nothing is
sent to it: a device that says another thing of itself may be wired to anything.`)
}

func putBackCommand(a *app) *cobra.Command {
	return ofMatrix(a, keep.ToPutBack, "Restore what was changed at a matrix",
		`Bring MATRIX back to what is recalled, where somebody has turned it by hand and
it was left so.`)
}

func leaveCommand(a *app) *cobra.Command {
	return ofMatrix(a, keep.ToLeave, "Leave changes made at a matrix alone",
		`Leave MATRIX as somebody turns it by hand, until the next recall, though the
studio's file says that it is restored.`)
}

// ofMatrix is a command that says one thing of a matrix.
func ofMatrix(a *app, do keep.Deed, short, long string) *cobra.Command {
	return &cobra.Command{
		Use: string(do) + " MATRIX", Short: short, Long: long,
		Example:           fmt.Sprintf("  bayhand %s grid", do),
		Args:              arguments(1, 1),
		ValidArgsFunction: completeMatrices(a),
		RunE: func(c *cobra.Command, args []string) error {
			p, err := a.files.driven()
			if err != nil {
				return err
			}
			return a.room.in(c.Context(), func(room keep.Room) error {
				return a.view.ask(c.Context(), p, room, keep.Act{Do: do, Matrix: args[0]})
			})
		},
	}
}

// commandOf is the command that is an act which answers a problem.
func commandOf(act keep.Act) string {
	command := []string{"bayhand", string(act.Do)}
	switch {
	case act.Session == keep.RestName && act.Options.Room != "":
		return "bayhand strip --now --room " + act.Options.Room
	case act.Session == keep.RestName:
		return "bayhand strip --now"
	case act.Session != "":
		command = append(command, act.Session)
	case act.Number > 0:
		command = append(command, strconv.Itoa(act.Number))
	case act.Matrix != "":
		command = append(command, act.Matrix)
	}
	return strings.Join(append(command, flagsOf(act.Options)...), " ")
}

// flagsOf are the flags of the command that recalls with these options.
func flagsOf(o keep.RecallOptions) (flags []string) {
	if o.Prefer != "" && o.Prefer != plan.PreferSame.String() {
		flags = append(flags, "--prefer", o.Prefer)
	}
	for _, f := range []struct {
		flag string
		set  bool
	}{{"--partly", o.Partly}, {"--leave", o.LeaveCords}, {"--inside", o.Inside}, {"--instead", o.Instead}} {
		if f.set {
			flags = append(flags, f.flag)
		}
	}
	if o.Effort > 0 {
		flags = append(flags, "--effort", strconv.FormatInt(o.Effort, 10))
	}
	return flags
}
