package main

import (
	"context"

	"github.com/spf13/cobra"

	"bayhand/cmd/bayhand/demo"
)

func demoCommand(a *app) *cobra.Command {
	var o demo.Options
	var folder string
	c := &cobra.Command{
		Use:   "demo",
		Short: "A made-up studio with simulated matrices, end to end",
		Long: `Show everything at work in a studio that was made up: both its matrices are
simulators in processes of their own, on links like those of devices. It checks
what it shows, ends by itself, and leaves nothing behind.`,
		Example: "  bayhand demo\n  bayhand demo --keep\n  bayhand demo --write heron",
		Args:    arguments(0, 0),
		RunE: func(c *cobra.Command, _ []string) error {
			if err := eitherFlag(c, "keep", "write"); err != nil {
				return err
			}
			if folder != "" {
				return writeDemo(a.out, folder)
			}
			return runDemo(c.Context(), a, o)
		},
	}
	c.Flags().BoolVar(&o.Stay, "keep", false, "stay up for playing, and say how")
	c.Flags().BoolVar(&o.TCP, "tcp", false, "have the simulators on TCP ports, as they are outside Linux")
	c.Flags().StringVar(&folder, "write", "", "lay the studio's files out in `DIR`, and do nothing else")
	must(c.MarkFlagDirname("write"))
	return c
}

func runDemo(ctx context.Context, a *app, o demo.Options) error {
	o.Out, o.Private = a.out.to, private(a.out.to)
	return demo.Run(ctx, o)
}

func writeDemo(out *output, folder string) error {
	if err := demo.Write(folder); err != nil {
		return err
	}
	return out.say(map[string]string{"folder": folder}, "the files are in %s; begin with: bayhand check --studio %s/studio.yaml", folder, folder)
}
