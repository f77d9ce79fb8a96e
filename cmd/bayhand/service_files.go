package main

import (
	"github.com/spf13/cobra"

	"bayhand/cmd/bayhand/install"
)

// filesOfPackage writes what a package of the operating system installs beside the
// program.
func filesOfPackage(out *output) *cobra.Command {
	return &cobra.Command{
		Use:   "files DIR",
		Short: "Write what a package of the system installs beside the program",
		Long: `Write manual pages, completions, systemd units for one person's studio and for
the studios of a machine, the service's system user, and udev's rules into DIR,
by the paths that they have in the system. It is for those who make a package.`,
		Args: arguments(1, 1),
		RunE: func(c *cobra.Command, args []string) error {
			files, err := install.Files(c.Root(), version(), hardening)
			if err != nil {
				return err
			}
			if err := install.Write(args[0], files); err != nil {
				return err
			}
			return out.say(map[string]any{"folder": args[0], "files": len(files)}, "%d files are in %s", len(files), args[0])
		},
	}
}

var hardening = install.Hardening{Everywhere: unitEverywhere, Machine: unitMachine}
