package main

import (
	"bytes"
	"context"
	"encoding/json"
	"strings"

	"github.com/spf13/cobra"

	"bayhand/model/schedule"
	"bayhand/model/studio"
	"bayhand/model/text"
	"bayhand/recall/files"
)

// wiringAsk is what wiring is asked for.
type wiringAsk struct {
	printing
	gear, bay, wraps, csv, since string
	pins, buy, number            bool
}

func wiringCommand(a *app) *cobra.Command {
	var w wiringAsk
	c := &cobra.Command{
		Use:        "wiring",
		SuggestFor: []string{"cable", "cables", "schedule"},
		Short:      "The cable schedule: what is made, with which plugs, what to buy",
		Long: `List every permanent cable by where you stand to make it: along the rear of each
bay, then at the gear. One cable is one jacket with a number; it has pairs, each
of which is one wire or tie of the file. What is done with the cold leg stands
beside it, with the reason. Mains is not in the schedule.

With --since only what differs from an earlier schedule is told. --number gives
each cable that has none a number and writes it into the studio's file.`,
		Example: "  bayhand wiring --pins\n  bayhand wiring --bay main --paper rear.pdf --wraps wraps.pdf\n  bayhand wiring --csv cables.csv\n  bayhand wiring --since cables.csv",
		Args:    arguments(0, 0),
		RunE: func(c *cobra.Command, _ []string) error {
			if err := eitherFlag(c, "gear", "bay"); err != nil {
				return err
			}
			return runWiring(c.Context(), a, w)
		},
	}
	w.flags(c, "the schedule, with boxes to tick,")
	c.Flags().StringVar(&w.gear, "gear", "", "only the cables of the gear or matrix `NAME`")
	c.Flags().StringVar(&w.bay, "bay", "", "only the cables of the bay `NAME`")
	c.Flags().BoolVar(&w.pins, "pins", false, "with the contacts of each pair")
	c.Flags().BoolVar(&w.buy, "buy", false, "what to buy: plugs, metres, joints, wraps, and the cords and dummies that the sessions take")
	c.Flags().BoolVar(&w.number, "number", false, "number the cables that have no number, in the studio's file")
	c.Flags().StringVar(&w.wraps, "wraps", "", "write labels for the ends of cables to `FILE.pdf`")
	c.Flags().StringVar(&w.csv, "csv", "", "write a table with a line a pair to `FILE.csv`")
	c.Flags().StringVar(&w.since, "since", "", "only what differs from the schedule in `FILE`, which --csv wrote or --json printed")
	must(c.MarkFlagFilename("wraps", "pdf"))
	must(c.MarkFlagFilename("csv", "csv"))
	must(c.MarkFlagFilename("since", "csv", "json"))
	return c
}

func runWiring(ctx context.Context, a *app, w wiringAsk) error {
	to, err := w.ready()
	if err != nil {
		return err
	}
	for file, begins := range map[string]string{w.wraps: pdfBegins, w.csv: tableBegins} {
		if file != "" {
			if err := writable(file, begins); err != nil {
				return err
			}
		}
	}
	before, err := scheduleIn(w.since)
	if err != nil {
		return err
	}
	p, err := a.files.sound()
	if err != nil {
		return err
	}
	if w.number {
		return numberCables(a.out, p)
	}
	all, err := w.only(p.Studio, schedule.Of(p.Studio))
	if err != nil {
		return err
	}
	var kit *schedule.Kit
	if w.buy {
		if kit, err = kitOf(ctx, a, p); err != nil {
			return err
		}
	}
	return giveWiring(a.out, p, w, to, all, before, kit)
}

// scheduleIn is an earlier schedule, as a table or as JSON; nil where none is asked
// for.
func scheduleIn(file string) (*schedule.Schedule, error) {
	if file == "" {
		return nil, nil
	}
	src, err := named("the earlier schedule", file, "give a file that wiring --csv wrote or --json printed")
	if err != nil {
		return nil, err
	}
	var s schedule.Schedule
	if bytes.HasPrefix(bytes.TrimSpace(src), []byte("{")) {
		err = json.Unmarshal(src, &s)
		if err == nil && s.Cables == nil {
			return nil, wrongUsage("%s holds no schedule; give a file that wiring --csv wrote or --json printed", file)
		}
	} else {
		s, err = schedule.ReadCSV(bytes.NewReader(src))
	}
	if err != nil {
		return nil, wrongUsage("%s is no schedule: %w; give a file that wiring --csv wrote or --json printed", file, err)
	}
	return &s, nil
}

// only keeps the cables of one place.
func (w wiringAsk) only(s *studio.Studio, all schedule.Schedule) (schedule.Schedule, error) {
	owner := w.gear + w.bay
	if owner == "" {
		return all, nil
	}
	names := bayNames(s)
	if w.gear != "" {
		names = nil
		for _, g := range s.Gear {
			names = append(names, g.Name)
		}
		for _, m := range s.Matrices {
			names = append(names, m.Name)
		}
	}
	known := false
	for _, n := range names {
		known = known || n == owner
	}
	if !known {
		return all, unknownName(owner, names, "nothing of that kind is called %q; there are %s", owner, strings.Join(names, ", "))
	}
	return schedule.Only(s, owner), nil
}

// numberCables writes numbers into the studio's file, in one go, and only where the
// file reads as before but for them.
func numberCables(o *output, p *files.Studio) error {
	relaid := schedule.Numbering(p.Studio)
	if len(relaid) == 0 {
		return o.say(map[string]any{"numbered": 0}, "every cable has its number")
	}
	out, skipped := text.NumberCables(p.Source, p.Places, relaid)
	again, _, problems := text.ReadStudio(p.File, out)
	if problems.Errors() || len(schedule.Since(schedule.Of(p.Studio), schedule.Of(again))) > 0 {
		return &failure{cannot, errNumbering}
	}
	if len(skipped) < len(relaid) {
		if err := replaceUnchanged(p.File, p.Source, out); err != nil {
			return err
		}
	}
	for _, key := range skipped {
		at, _ := p.Places.Of(key)
		o.complainf("%s: this line is left as it is; write its cable: by hand, in the long form {from: ..., to: ..., cable: ...}\n", at)
	}
	n := len(relaid) - len(skipped)
	return o.say(map[string]any{"numbered": n, "skipped": len(skipped)}, "%s of %s numbered", plural(n, "line"), p.File)
}
