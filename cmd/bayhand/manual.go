package main

import (
	"embed"
	"io/fs"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"bayhand/drivers/descriptions"
	"bayhand/recall/words"
)

//go:embed manual/*.md
var manualPages embed.FS

func manualCommand(a *app) *cobra.Command {
	return &cobra.Command{
		Use:        "manual [PAGE]",
		SuggestFor: []string{"docs", "guide", "tutorial"},
		Short:      "The manual: what pages there are, or one of them",
		Args:       arguments(0, 1),
		ValidArgsFunction: func(_ *cobra.Command, _ []string, begun string) ([]string, cobra.ShellCompDirective) {
			return beginning(slices.Concat(pageNames(), descriptions.Names(), codes()), begun), cobra.ShellCompDirectiveNoFileComp
		},
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return contents(a.out)
			}
			return showPage(a.out, a.files, args[0])
		},
	}
}

// pageNames are the pages in the order in which one would read them.
func pageNames() []string {
	return []string{"getting-started", "cautions", "glossary", "patch-meaning", "an-evening", "when-it-says", "page", "undo-and-history", "verify",
		"arrange", "wiring", "labels", "levels", "sheet", "rooms", "hosts", "how-a-plan-is-made", "matrices", "midi", "daemon", "service",
		"files", keysName, findingsName, "device-descriptions", "cookbook", "limits"}
}

// manualPage is a page as a program sees it.
type manualPage struct {
	Page  string `json:"page"`
	Title string `json:"title"`
	Text  string `json:"text,omitempty"`
}

// contents lists the pages, each with its first line.
func contents(out *output) error {
	var pages []manualPage
	for _, name := range pageNames() {
		text, err := pageText(name)
		if err != nil {
			return err
		}
		pages = append(pages, manualPage{Page: name, Title: title(text)})
	}
	if out.json {
		return out.answer(pages)
	}
	out.printf("Read a page with `bayhand manual PAGE`:\n\n")
	for _, p := range pages {
		out.printf("  %-20s %s\n", p.Page, p.Title)
	}
	out.printf("\n")
	out.lines("", "  ", words.Put("and one of each device that ships: {names}", "names", strings.Join(descriptions.Names(), ", ")))
	out.lines("", "  ", words.Put("and one of each code of a finding or a problem, such as {codes}", "codes", codes()[0]))
	return nil
}

func title(text string) string {
	first, _, _ := strings.Cut(strings.TrimPrefix(text, "# "), "\n")
	return first
}

func showPage(out *output, r *reader, name string) error {
	text, err := anyPage(r, name)
	if err != nil {
		return unknownName(name, slices.Concat(pageNames(), codes(), descriptions.Names()), "the manual has no page %q; the pages are %s", name, strings.Join(pageNames(), ", "))
	}
	return out.say(manualPage{name, title(text), text}, "%s", strings.TrimRight(text, "\n"))
}

// anyPage is a page of the manual, the one that is made from a description that
// ships, or the section about a code.
func anyPage(r *reader, name string) (string, error) {
	if slices.Contains(descriptions.Names(), name) {
		return devicePage(r, name, describing{})
	}
	if text, ok := codeText(name); ok {
		return text, nil
	}
	return pageText(name)
}

// keysName is the page that is made from the tables of the files' fields.
const keysName = "keys"

func pageText(name string) (string, error) {
	if name == keysName {
		return keysPage(), nil
	}
	text, err := fs.ReadFile(manualPages, "manual/"+name+".md")
	if name == findingsName {
		index, _, _ := strings.Cut(string(text), "\n## ")
		return index + "\n`bayhand manual CODE` shows one of them, with an example that has the finding and one\nthat has it no more.\n", err
	}
	return string(text), err
}
