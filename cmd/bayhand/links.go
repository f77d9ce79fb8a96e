package main

import (
	"github.com/spf13/cobra"

	"bayhand/drivers/link"
	"bayhand/drivers/sound"
)

func linksCommand(a *app) *cobra.Command {
	return &cobra.Command{
		Use:        "links",
		SuggestFor: []string{"ports", "devices"},
		Short:      "The serial lines and MIDI devices of this machine",
		Long: `List the ports that a matrix can be connected to, in the words of a
studio's file. None of them is opened: some devices reset when their port is.`,
		Args: arguments(0, 0),
		RunE: func(c *cobra.Command, _ []string) error {
			found, err := link.List(c.Context())
			if err != nil {
				return err
			}
			sounds, err := sound.List()
			if err != nil {
				return err
			}
			for _, f := range sounds {
				found = append(found, link.Found(f))
			}
			return showLinks(a.out, found)
		},
	}
}

func showLinks(out *output, found []link.Found) error {
	if out.json {
		return out.answer(found)
	}
	if len(found) == 0 {
		out.printf("no serial line, no MIDI and no sound device is found on this machine\n")
	}
	for _, f := range found {
		out.printf("%s\n", f.Address)
		if f.Label != "" {
			out.printf("    %s\n", f.Label)
		}
		if f.Steady != "" {
			out.printf("    also %s, whatever socket it is in\n", f.Steady)
		}
	}
	return nil
}
