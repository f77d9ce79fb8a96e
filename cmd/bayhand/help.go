package main

import "github.com/spf13/cobra"

// helpCommand is help about a command, or the whole where none is named; a word
// that is no command is refused.
func helpCommand() *cobra.Command {
	return &cobra.Command{
		Use:     "help [COMMAND]",
		Short:   "Help about a command",
		Example: "  bayhand help recall\n  bayhand help device try",
		RunE: func(c *cobra.Command, args []string) error {
			about, rest, err := c.Root().Find(args)
			if err != nil {
				return err // as the command itself would have it
			}
			if len(rest) > 0 {
				return unknownCommand(about, rest[0], "%s has no command %q", about.CommandPath(), rest[0])
			}
			about.InitDefaultHelpFlag()
			return about.Help()
		},
		ValidArgsFunction: func(c *cobra.Command, args []string, begun string) ([]string, cobra.ShellCompDirective) {
			about, _, err := c.Root().Find(args)
			if err != nil {
				return nil, cobra.ShellCompDirectiveNoFileComp
			}
			return beginning(commandNames(about), begun), cobra.ShellCompDirectiveNoFileComp
		},
	}
}

// commandNames are the commands under a command.
func commandNames(c *cobra.Command) []string {
	var names []string
	for _, sub := range c.Commands() {
		if sub.IsAvailableCommand() {
			names = append(names, sub.Name())
		}
	}
	return names
}
