package main

import (
	"context"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"bayhand/recall/keep"
)

func doneCommand(a *app) *cobra.Command {
	var not bool
	c := &cobra.Command{
		Use:        "done ID... | all",
		SuggestFor: []string{"tick", "finish"},
		Short:      "Report steps done, or with --not, not done",
		Long: `Report the steps with these numbers done; a run such as 4-6 is all of its
numbers, and commas do as well as spaces. "all" is every step that can be done
by hand before a matrix has to switch again.`,
		Example:           "  bayhand done 3\n  bayhand done 3 5-8\n  bayhand done all\n  bayhand done --not 4",
		Args:              arguments(1, -1),
		ValidArgsFunction: completeSteps(a),
		RunE:              func(c *cobra.Command, args []string) error { return runTick(c.Context(), a, args, not) },
	}
	c.Flags().BoolVar(&not, "not", false, "the steps were not done after all")
	return c
}

func runTick(ctx context.Context, a *app, ids []string, not bool) error {
	ids, err := runsOf(ids)
	if err != nil {
		return err
	}
	act := keep.Act{Do: keep.WereDone, IDs: ids}
	if not {
		act.Do = keep.NotDone
	}
	if slices.Contains(ids, "all") {
		if len(ids) > 1 || not {
			return wrongUsage("all stands alone; write `bayhand done all`, or the numbers of steps")
		}
		act = keep.Act{Do: keep.WereDone, All: true}
	}
	p, err := a.files.sound()
	if err != nil {
		return err
	}
	return a.room.in(ctx, func(room keep.Room) error {
		return a.view.ask(ctx, p, room, act)
	})
}

// mostSteps bounds a run of numbers that was mistyped.
const mostSteps = 1000

// runsOf writes lists such as 1,3 and runs such as 4-6 out; whatever is none stays as it is.
func runsOf(typed []string) ([]string, error) {
	var ids []string
	for _, one := range strings.FieldsFunc(strings.Join(typed, ","), func(r rune) bool { return r == ',' || r == ' ' }) {
		first, last, isRun := strings.Cut(one, "-")
		from, err := strconv.Atoi(first)
		to, err2 := strconv.Atoi(last)
		if !isRun || err != nil || err2 != nil {
			ids = append(ids, one)
			continue
		}
		if to < from || to-from > mostSteps {
			return nil, wrongUsage("%s is no run of steps; write the lower number first, such as 4-6", one)
		}
		for n := from; n <= to; n++ {
			ids = append(ids, strconv.Itoa(n))
		}
	}
	return ids, nil
}
