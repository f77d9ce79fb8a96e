package main

import (
	"context"
	"errors"
	"io"
	"strings"

	"github.com/spf13/cobra"
)

// app is what commands are made of: where they read and write, the studio's files,
// and the way to the room. The flags that all commands share set its parts.
type app struct {
	in  io.Reader
	out *output
	// answers are those of out, which know what was lost of them.
	answers *noted
	files   *reader
	parts   *parts
	room    *door
	view    *view
}

// newApp puts the parts together.
func newApp(in io.Reader, to, err io.Writer) *app {
	answers := &noted{Writer: to}
	out := &output{to: answers, err: err}
	a := &app{in: in, out: out, answers: answers, files: &reader{out: out}}
	a.parts = &parts{out: out, files: a.files}
	a.room = &door{files: a.files, parts: a.parts}
	a.view = &view{out: out, files: a.files}
	return a
}

// run carries out one command line and gives its exit status.
func (a *app) run(ctx context.Context, args []string) int {
	root := a.root()
	root.SetArgs(args)
	err := root.ExecuteContext(ctx)
	if lost := a.answers.failure(); lost != nil && (err == nil || errors.Is(err, a.answers.lost)) {
		err = lost
	}
	var f *failure
	if err != nil && !(asFailure(err, &f) && f.err == nil) {
		a.out.warn(signed(a.out.named(err.Error())))
	}
	return int(statusOf(err))
}

// signed is what went wrong under the program's name, each on a line of its own where there are
// several; what is set in belongs to the line above.
func signed(wrong string) string {
	var b strings.Builder
	for line := range strings.Lines(strings.TrimRight(wrong, "\n") + "\n") {
		if !strings.HasPrefix(line, " ") && line != "\n" {
			b.WriteString("bayhand: ")
		}
		b.WriteString(line)
	}
	return b.String()
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
	root.SetOut(a.out.to)
	root.SetErr(a.out.err)
	root.SetFlagErrorFunc(nearestFlag)
	root.CompletionOptions.HiddenDefaultCmd = true
	root.SetUsageTemplate(strings.ReplaceAll(root.UsageTemplate(), ".FlagUsages", ".FlagUsagesWrapped 80"))
	sharedFlags(a, root)
	for _, g := range groups {
		root.AddGroup(&cobra.Group{ID: g.id, Title: g.title})
		for _, make := range g.commands {
			c := make(a)
			c.GroupID = g.id
			root.AddCommand(c)
		}
	}
	root.AddCommand(versionCommand(a))
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
	{"files", "Files:", []func(*app) *cobra.Command{
		checkCommand, traceCommand, levelsCommand, planCommand, arrangeCommand, wiringCommand, labelsCommand, sheetCommand, tidyCommand, schemaCommand,
	}},
	{"room", "Recall and patching:", []func(*app) *cobra.Command{
		recallCommand, undoCommand, cordsCommand, doneCommand, verifyCommand, stripCommand,
		plugCommand, pullCommand, moveCommand, heardCommand, tagCommand, numberCommand, binnedCommand,
		stillCommand, putBackCommand, leaveCommand, replacedCommand, captureCommand, historyCommand, stateCommand,
	}},
	{"stand", "Daemon and devices:", []func(*app) *cobra.Command{
		daemonCommand, houseCommand, pageCommand, inviteCommand, serviceCommand, simulateCommand, linksCommand, deviceCommand,
	}},
	{"learn", "Learn:", []func(*app) *cobra.Command{
		demoCommand, manualCommand,
	}},
}

const rootHelp = `bayhand is the hand at the patch bay. From one description of the studio and one
short file for each session it knows what is heard where, switches the
programmable matrices, and lists the cords still to plug, in an order that is
kind to ears and loudspeakers.

To see it work in a made-up studio:   bayhand demo
To read how to begin:                 bayhand manual getting-started`
