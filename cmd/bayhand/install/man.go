package install

import (
	"bayhand/recall/words"
	"fmt"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// manPages are a page for each command, by file name, in the macros of man(7):
// bayhand.1, bayhand-recall.1, bayhand-device-try.1.
func manPages(root *cobra.Command, version string) map[string][]byte {
	pages := map[string][]byte{}
	var add func(*cobra.Command)
	add = func(c *cobra.Command) {
		if c != root && !c.IsAvailableCommand() {
			return
		}
		pages[pageName(c)+".1"] = manPage(c, version)
		for _, sub := range c.Commands() {
			add(sub)
		}
	}
	add(root)
	return pages
}

func pageName(c *cobra.Command) string { return strings.ReplaceAll(c.CommandPath(), " ", "-") }

func manPage(c *cobra.Command, version string) []byte {
	p := &page{}
	c.InitDefaultHelpFlag()
	p.line(`.TH "%s" 1 "" "bayhand %s" "User Commands"`, strings.ToUpper(pageName(c)), version)
	p.section("NAME")
	p.line(`%s \- %s`, escape(pageName(c)), escape(c.Short))
	p.section("SYNOPSIS")
	p.line(`.B %s`, escape(c.UseLine()))
	if c.Long != "" {
		p.section("DESCRIPTION")
		p.text(c.Long)
	}
	p.commands(c)
	p.options("OPTIONS", c.NonInheritedFlags())
	p.options("OPTIONS OF EVERY COMMAND", c.InheritedFlags())
	if c.Example != "" {
		p.section("EXAMPLES")
		p.verbatim(c.Example)
	}
	p.section("EXIT STATUS")
	p.text("0: done, even if cords are left to plug; 1: not possible;\n2 for wrong usage; 3 when a device did not answer.")
	p.section("SEE ALSO")
	p.seeAlso(c)
	return []byte(p.String())
}

// page is a page in the making.
type page struct{ strings.Builder }

func (p *page) line(format string, args ...any) { fmt.Fprintf(p, format+"\n", args...) }

func (p *page) section(title string) { p.line(".SH %s", title) }

// text is paragraphs; what is indented stays as it is.
func (p *page) text(s string) {
	for i, paragraph := range strings.Split(strings.TrimSpace(s), "\n\n") {
		if i > 0 {
			p.line(".PP")
		}
		if strings.Contains("\n"+paragraph, "\n  ") || strings.Contains(paragraph, "   ") {
			p.verbatim(paragraph)
			continue
		}
		for line := range strings.SplitSeq(paragraph, "\n") {
			p.line("%s", escape(strings.TrimSpace(line)))
		}
	}
}

func (p *page) verbatim(s string) {
	p.line(".nf")
	for line := range strings.SplitSeq(strings.Trim(s, "\n"), "\n") {
		p.line("%s", escape(line))
	}
	p.line(".fi")
}

func (p *page) commands(c *cobra.Command) {
	if !c.HasAvailableSubCommands() {
		return
	}
	p.section("COMMANDS")
	for _, sub := range c.Commands() {
		if sub.IsAvailableCommand() {
			p.line(".TP\n.BR %s (1)\n%s", escape(pageName(sub)), escape(sub.Short))
		}
	}
}

// options are flags with the name of their value as it is written: a flag that
// needs none has none.
func (p *page) options(title string, flags *pflag.FlagSet) {
	if !flags.HasAvailableFlags() {
		return
	}
	p.section(title)
	flags.VisitAll(func(f *pflag.Flag) {
		if f.Hidden || f.Deprecated != "" {
			return
		}
		value, usage := pflag.UnquoteUsage(f)
		names := `\fB\-\-` + escape(f.Name) + `\fR`
		if f.Shorthand != "" {
			names = `\fB\-` + f.Shorthand + `\fR, ` + names
		}
		if value != "" {
			names += ` \fI` + escape(value) + `\fR`
		}
		p.line(".TP\n%s\n%s", names, escape(strings.TrimSpace(usage+" "+defaultOf(f))))
	})
}

// defaultOf is what a flag says by itself, where that tells something.
func defaultOf(f *pflag.Flag) string {
	switch f.DefValue {
	case "", "false", "0", "0s", "[]":
		return ""
	}
	return words.Put("(otherwise {value})", "value", f.DefValue)
}

func (p *page) seeAlso(c *cobra.Command) {
	pages := []string{}
	if c.HasParent() {
		pages = append(pages, pageName(c.Parent()))
	}
	for i, name := range append(pages, "bayhand-manual") {
		if i > 0 {
			p.line(",")
		}
		p.line(".BR %s (1)", escape(name))
	}
}

// escape has roff take the words as they are: a backslash, a hyphen that is typed,
// and a line that would be a request.
func escape(s string) string {
	s = strings.NewReplacer(`\`, `\e`, "-", `\-`, "\n", " ").Replace(s)
	if strings.HasPrefix(s, ".") || strings.HasPrefix(s, "'") {
		s = `\&` + s
	}
	return s
}
