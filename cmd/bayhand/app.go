package main

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"
)

// app is what every command has: its streams and the flags that all share.
type app struct {
	in       io.Reader
	out, err io.Writer

	studioFile  string
	sessionsDir string
	stateDir    string
	json        bool
	// links are where matrices hang for this once, by their names.
	links map[string]string
	// log is true for a daemon that says what happens.
	log bool
	// control is where the control port is for this once.
	control string
	// library is for those who look at the files again and again.
	library library
}

// run carries out one command line and gives its exit status.
func (a *app) run(ctx context.Context, args []string) int {
	root := a.root()
	root.SetArgs(args)
	err := root.ExecuteContext(ctx)
	var f *failure
	if err != nil && !(asFailure(err, &f) && f.err == nil) {
		fmt.Fprintln(a.err, "bayhand:", strings.TrimRight(err.Error(), "\n"))
	}
	return int(statusOf(err))
}

// root is the command without a name, with all others under it.
func (a *app) root() *cobra.Command {
	root := &cobra.Command{
		Use:               "bayhand",
		Short:             "The hand at the patch bay",
		Long:              rootHelp,
		SilenceErrors:     true,
		SilenceUsage:      true,
		DisableAutoGenTag: true,
		Args:              nearestCommand,
		RunE:              func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	root.SetIn(a.in)
	root.SetOut(a.out)
	root.SetErr(a.err)
	root.SetFlagErrorFunc(nearestFlag)
	root.CompletionOptions.HiddenDefaultCmd = true
	root.SetUsageTemplate(strings.ReplaceAll(root.UsageTemplate(), ".FlagUsages", ".FlagUsagesWrapped 80"))
	a.sharedFlags(root)
	for _, g := range groups {
		root.AddGroup(&cobra.Group{ID: g.id, Title: g.title})
		for _, make := range g.commands {
			c := make(a)
			c.GroupID = g.id
			root.AddCommand(c)
		}
	}
	root.SetHelpCommand(helpCommand())
	root.SetHelpCommandGroupID("learn")
	root.SetCompletionCommandGroupID("learn")
	root.InitDefaultCompletionCmd()
	for _, c := range root.Commands() {
		if c.Name() == "completion" {
			c.Args, c.RunE = nearestCommand, func(c *cobra.Command, _ []string) error { return c.Help() }
		}
	}
	root.Version = version()
	root.SetVersionTemplate("{{.Name}} {{.Version}}\n")
	return root
}

// group is a heading of the help with the commands under it.
type group struct {
	id, title string
	commands  []func(*app) *cobra.Command
}

var groups = []group{
	{"files", "From the files alone:", []func(*app) *cobra.Command{
		(*app).checkCommand, (*app).traceCommand, (*app).planCommand, (*app).tidyCommand, (*app).schemaCommand,
	}},
	{"room", "In the room:", []func(*app) *cobra.Command{
		(*app).recallCommand, (*app).undoCommand, (*app).cordsCommand, (*app).doneCommand, (*app).stripCommand,
		(*app).plugCommand, (*app).pullCommand, (*app).moveCommand, (*app).tagCommand,
		(*app).stillCommand, (*app).captureCommand, (*app).historyCommand,
	}},
	{"stand", "Standing by:", []func(*app) *cobra.Command{
		(*app).daemonCommand, (*app).inviteCommand, (*app).serviceCommand, (*app).simulateCommand, (*app).linksCommand, (*app).deviceCommand,
	}},
	{"learn", "Learning it:", []func(*app) *cobra.Command{
		(*app).demoCommand, (*app).manualCommand,
	}},
}

const rootHelp = `bayhand is the hand at the patch bay. From one description of the studio and one
short file for each session it knows what is heard where, switches the
programmable matrices, and asks for the cords that still have to be plugged, in
an order that is kind to ears and loudspeakers.

To see it work in a made-up studio:   bayhand demo
To read how to begin:                 bayhand manual getting-started`

// answer prints a value as JSON on standard output.
func (a *app) answer(v any) error {
	encoder := json.NewEncoder(a.out)
	encoder.SetEscapeHTML(false)
	encoder.SetIndent("", "  ")
	return encoder.Encode(v)
}

// say prints an answer of one line, or what it is about as JSON.
func (a *app) say(v any, format string, args ...any) error {
	if a.json {
		return a.answer(v)
	}
	a.printf(format+"\n", args...)
	return nil
}

// printf prints a part of the answer.
func (a *app) printf(format string, args ...any) { fmt.Fprintf(a.out, format, args...) }

// complainf prints a problem.
func (a *app) complainf(format string, args ...any) { fmt.Fprintf(a.err, format, args...) }
