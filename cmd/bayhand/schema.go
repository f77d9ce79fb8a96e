package main

import (
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"bayhand/model/text"
)

func schemaCommand(a *app) *cobra.Command {
	var folder string
	c := &cobra.Command{
		Use:   "schema [KIND]",
		Short: "The JSON Schema of a kind of file, for editors",
		Long: `Print the JSON Schema (draft 2020-12) of a kind of file: studio, session,
patch, device or house. An editor that is given it completes keys, shows what
each is for, and marks what is wrong while you type. Names and ranges are beyond
a schema; those bayhand check looks at.`,
		Example: "  bayhand schema studio > studio.schema.json\n  bayhand schema --write schemas",
		Args:    arguments(0, 1),
		ValidArgsFunction: func(_ *cobra.Command, args []string, begun string) ([]string, cobra.ShellCompDirective) {
			if len(args) > 0 {
				return nil, cobra.ShellCompDirectiveNoFileComp
			}
			return beginning(text.Kinds(), begun), cobra.ShellCompDirectiveNoFileComp
		},
		RunE: func(_ *cobra.Command, args []string) error {
			kinds, err := schemaKinds(args)
			switch {
			case err != nil:
				return err
			case folder != "":
				return writeSchemas(a.out, folder, kinds)
			case len(args) == 0:
				return a.out.say(text.Kinds(), "There are schemas of %s files:\nbayhand schema KIND prints one, bayhand schema --write DIR writes all.", strings.Join(kinds, ", "))
			}
			_, err = a.out.to.Write(text.Schema(kinds[0]))
			return err
		},
	}
	c.Flags().StringVar(&folder, "write", "", "write KIND.schema.json into `DIR`, of all kinds where none is named")
	must(c.MarkFlagDirname("write"))
	return c
}

// schemaKinds are the kind that was named, or all of them.
func schemaKinds(args []string) ([]string, error) {
	switch {
	case len(args) == 0:
		return text.Kinds(), nil
	case !slices.Contains(text.Kinds(), args[0]):
		return nil, unknownName(args[0], text.Kinds(), "there is no kind of file %q; there are %s", args[0], strings.Join(text.Kinds(), ", "))
	}
	return args, nil
}

func writeSchemas(out *output, folder string, kinds []string) error {
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return notWritten(folder, err)
	}
	var written []string
	for _, kind := range kinds {
		file := filepath.Join(folder, kind+".schema.json")
		if err := write(file, text.Schema(kind)); err != nil {
			return err
		}
		written = append(written, file)
	}
	return out.say(map[string][]string{"files": written}, "%s: written", strings.Join(written, ", "))
}
