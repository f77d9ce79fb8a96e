package main

import (
	"context"
	"errors"
	"log/slog"
	"os"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"bayhand/drivers/descriptions"
	"bayhand/recall/words"
	"bayhand/simulators/line"
	"bayhand/simulators/matrix"
	"bayhand/simulators/panel"
)

// simulating is what to be and where, from the flags.
type simulating struct {
	size, listen string
	parameters   []string
	faults       []string
	verbose      bool
}

func simulateCommand(a *app) *cobra.Command {
	var w simulating
	c := &cobra.Command{
		Use:   "simulate DESCRIPTION",
		Short: "Simulate a matrix on a pseudo-terminal, a network port or raw MIDI",
		Long: `Simulate a matrix of the kind that the description describes, until interrupted.
On a terminal it shows its front panel; where its input is none, typed lines
work it. With --json it prints its state after each change, one line each:

` + indent(panel.Words) + `

In the file of a studio the link to pty:PATH is serial:PATH; the others are the
same there.

Faults on request, each a --fault:

` + indent(matrix.FaultHelp),
		Example: `  bayhand simulate scpi-switch --size 16x16 --listen tcp:127.0.0.1:5025
  bayhand simulate midi-exclusive --size 8x8 --listen rawmidi:/tmp/shade
  bayhand simulate line-switch --size 8x4 --listen pty:/tmp/small --fault lose=3`,
		Args: arguments(1, 1),
		ValidArgsFunction: func(_ *cobra.Command, _ []string, begun string) ([]string, cobra.ShellCompDirective) {
			return beginning(descriptions.Names(), begun), cobra.ShellCompDirectiveNoFileComp
		},
		RunE: func(c *cobra.Command, args []string) error {
			err := runSimulate(c.Context(), a, args[0], w)
			if errors.Is(err, errLeft) {
				return nil
			}
			return err
		},
	}
	c.Flags().StringVar(&w.size, "size", "", "its `SIZE`, inputs first, such as 16x16")
	c.Flags().StringVar(&w.listen, "listen", "tcp:127.0.0.1:5025", "the `LINK` that it makes: tcp:HOST:PORT, rfc2217:HOST:PORT, pty:PATH or rawmidi:PATH")
	c.Flags().StringArrayVar(&w.parameters, "set", nil, "a parameter of its description, such as `rows=inputs`")
	c.Flags().StringArrayVar(&w.faults, "fault", nil, "a fault to have, such as `lose=3`")
	c.Flags().BoolVar(&w.verbose, "verbose", false, "say on standard error what passes on the line")
	return c
}

func indent(text string) string { return "  " + strings.ReplaceAll(text, "\n", "\n  ") }

func runSimulate(ctx context.Context, a *app, name string, w simulating) error {
	o, err := simulated(a, name, w)
	if err != nil {
		return err
	}
	if o.Matrix, err = line.NewMatrix(o); err != nil {
		return &failure{usage, err}
	}
	front := panel.New(o.Matrix, name)
	o.Traffic = front.Heard
	listening := make(chan struct{})
	var told error // before listening is closed
	return runAll(ctx,
		func(ctx context.Context) error {
			return line.Serve(ctx, o, func(where string) {
				front.Name(words.Put("{device} at {link}", "device", name, "link", where))
				told = a.out.say(map[string]string{"listening": where}, "listening on %s", where)
				close(listening)
			})
		},
		func(ctx context.Context) error {
			select {
			case <-listening:
				return errors.Join(told, work(ctx, a, front))
			case <-ctx.Done():
				return nil
			}
		},
	)
}

// errLeft is a person who leaves the front panel, which ends the simulator.
var errLeft = errors.New("the front panel was left")

// work shows the front panel, or answers typed lines, until it is left.
func work(ctx context.Context, a *app, front *panel.Panel) error {
	in, isFile := a.in.(*os.File)
	out, isAlso := fileOf(a.out.to)
	if a.out.json {
		return front.Follow(ctx, a.in, a.out.to)
	}
	if !isFile || !isAlso {
		return nil // nobody can type
	}
	if err := front.Show(ctx, in, out); err != nil || ctx.Err() != nil {
		return err
	}
	return errLeft
}

// simulated reads the flags.
func simulated(a *app, name string, w simulating) (line.Options, error) {
	d, err := a.files.at.Description(name)
	if err != nil {
		return line.Options{}, &failure{usage, err}
	}
	o := line.Options{Description: d, Listen: w.listen, Parameters: map[string]string{}}
	if o.Inputs, o.Outputs, err = size(w.size); err != nil {
		return o, err
	}
	for _, item := range w.parameters {
		key, value, found := strings.Cut(item, "=")
		if !found {
			return o, wrongUsage("--set %s has no value; write NAME=VALUE", item)
		}
		o.Parameters[key] = value
	}
	if o.Faults, err = matrix.ParseFaults(w.faults); err != nil {
		return o, &failure{usage, err}
	}
	if err := line.CheckListen(o); err != nil {
		return o, &failure{usage, err}
	}
	if w.verbose {
		o.Log = slog.New(slog.NewTextHandler(a.out.err, &slog.HandlerOptions{Level: slog.LevelDebug}))
	}
	return o, nil
}

// size reads 16x16, inputs first; nothing is not said.
func size(text string) (inputs, outputs int, err error) {
	if text == "" {
		return 0, 0, nil
	}
	in, out, found := strings.Cut(text, "x")
	inputs, errIn := strconv.Atoi(in)
	outputs, errOut := strconv.Atoi(out)
	if !found || errIn != nil || errOut != nil || inputs < 1 || outputs < 1 {
		return 0, 0, wrongUsage("--size %s is not valid; write inputs and outputs, such as 16x16", text)
	}
	return inputs, outputs, nil
}
