package main

import (
	"embed"
	"io/fs"
	"strings"

	"github.com/spf13/cobra"
)

//go:embed manual/*.md
var manualPages embed.FS

func (a *app) manualCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "manual [PAGE]",
		Short: "The manual: what pages there are, or one of them",
		Args:  arguments(0, 1),
		ValidArgsFunction: func(_ *cobra.Command, _ []string, begun string) ([]string, cobra.ShellCompDirective) {
			return beginning(pageNames(), begun), cobra.ShellCompDirectiveNoFileComp
		},
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return a.contents()
			}
			return a.page(args[0])
		},
	}
}

// pageNames are the pages in the order in which one would read them.
func pageNames() []string {
	return []string{"getting-started", "files", "patch-meaning", "how-a-plan-is-made", "matrices", "daemon", "cautions"}
}

// contents lists the pages, each with its first line.
func (a *app) contents() error {
	a.printf("Read a page with `bayhand manual PAGE`:\n\n")
	for _, name := range pageNames() {
		text, err := pageText(name)
		if err != nil {
			return err
		}
		title, _, _ := strings.Cut(strings.TrimPrefix(text, "# "), "\n")
		a.printf("  %-20s %s\n", name, title)
	}
	return nil
}

func (a *app) page(name string) error {
	text, err := pageText(name)
	if err != nil {
		return wrongUsage("the manual has no page %q%s; the pages are %s", name, suggestion(name, pageNames()), strings.Join(pageNames(), ", "))
	}
	a.printf("%s", text)
	return nil
}

func pageText(name string) (string, error) {
	text, err := fs.ReadFile(manualPages, "manual/"+name+".md")
	return string(text), err
}
