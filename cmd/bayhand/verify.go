package main

import (
	"context"
	"fmt"

	"github.com/spf13/cobra"

	"bayhand/model/tones"
)

// verifying is how the room is to be listened to.
type verifying struct {
	patch             string
	only, not, with   string
	level             float64
	groups            int
	plan, keep, whole bool
	quiet, watch, yes bool
	probe, single     bool
	write, mono, from string
	read              bool
	forms             forms
}

func verifyCommand(a *app) *cobra.Command {
	var v verifying
	c := &cobra.Command{
		Use:        "verify [SESSION] [--read FILE...]",
		SuggestFor: []string{"test", "listen", "measure"},
		Short:      "Find with test sound what is really plugged",
		Long: `Play test sound on all outputs of the sound device at once, and find in what is
recorded which output is heard at which input; compare it with what should be
heard, and name the cord.

The sound goes by the sound device that the studio's file names, in two passes
of seven seconds: a quiet one, and where that shows nothing against it a louder
one. Any key stops it, and so do Ctrl-C, an input that feeds back or is at full
scale, and a device that loses samples. Where no device can be reached it goes
by files: --write makes one to play from any program that can record at the
same time, and --read reads what was recorded. Play it at the level that it
has, and record without processing.

Loudspeakers that a matrix mutes (mute: {by: ...} in the studio's file) are
muted by it for the time, and read back; where that fails nothing is played.

Before any sound: turn loudspeakers and headphones down and take headphones off,
switch phantom power off, and let nobody work at the bay. Outputs that could
reach a loudspeaker, a headphone, a microphone input with phantom power or a
place with test: no, as told or by any one mistake at the bay, are left out
unless --with names that input. What is reported of a patch proves nothing about
safety. Your ears are the last judge. Follow local codes, and leave mains to
licensed people.`,
		Example: "  bayhand verify tern-mix-1\n  bayhand verify tern-mix-1 --plan\n  bayhand verify tern-mix-1 --write test.wav\n" +
			"  bayhand verify tern-mix-1 --read recorded.wav",
		ValidArgsFunction: completeSessions(a),
		RunE:              func(c *cobra.Command, args []string) error { return runVerify(c.Context(), a, args, v) },
	}
	f := c.Flags()
	f.StringVar(&v.patch, "patch", "", "compare with the patch in `FILE`")
	f.BoolVar(&v.plan, "plan", false, "play nothing: what would be driven, and which cords would be seen")
	f.StringVar(&v.only, "only", "", "drive only these `PORTS`")
	f.StringVar(&v.not, "not", "", "do not drive these `PORTS`")
	f.StringVar(&v.with, "with", "", "inputs, or gear, that may hear the sound although they are loudspeakers: `PORTS`")
	f.Float64Var(&v.level, "level", 0, "the `LEVEL` of the louder pass, or of files, in dBFS rms, at most -20 (default: the studio's, or -30, and -60 for files)")
	f.BoolVar(&v.quiet, "quiet", false, "the first, quiet pass alone")
	f.IntVar(&v.groups, "groups", 1, "play the outputs in `N` parts, one after the other, which reads lower frequencies")
	f.BoolVar(&v.single, "one-at-a-time", false, "a sweep on each output in turn, 2.5 s each: names what comes retuned")
	f.BoolVar(&v.probe, "probe", false, "may switch one crosspoint for a moment, to tell the causes of a finding apart")
	f.BoolVar(&v.watch, "watch", false, "again and again until all is as it should be, one finding at a time")
	f.BoolVar(&v.yes, "yes", false, "loudspeakers are down and headphones off the ears: do not ask")
	f.StringVar(&v.write, "write", "", "write the test sound into `FILE`, one channel an output")
	f.StringVar(&v.mono, "mono", "", "write the test sound into `DIR`, one file an output")
	f.BoolVar(&v.read, "read", false, "read recordings: one file of many channels, or mono ones in the order of inputs")
	f.StringVar(&v.from, "from", "", "the input `PORT` of the first channel that was recorded")
	f.BoolVar(&v.keep, "keep", false, "keep the reading as the session's reference")
	v.forms.flags(c)
	f.BoolVar(&v.whole, "all", false, "also level, band, crosstalk, noise and hum of every path")
	return c
}

func runVerify(ctx context.Context, a *app, args []string, v verifying) error {
	if err := v.check(); err != nil {
		return wrongUsage("%w", err)
	}
	var session string
	recordings := args
	if !v.read || len(args) > 0 && !isRecording(args[0]) {
		if len(args) > 0 {
			session, recordings = args[0], args[1:]
		}
	}
	switch {
	case !v.read && len(recordings) > 0:
		return wrongUsage("%s is one name too many; recordings are read with --read", recordings[0])
	case v.read && len(recordings) == 0:
		return wrongUsage("--read needs the files that were recorded: bayhand verify SESSION --read recorded.wav")
	case (v.probe || v.single) && (v.read || v.write != "" || v.mono != "" || v.plan):
		return wrongUsage("--probe and --one-at-a-time need the sound device: they stand without --read, --write, --mono and --plan")
	case v.single && v.groups > 1:
		return wrongUsage("--one-at-a-time stands without --groups: each output plays alone")
	case v.forms.filled != "" && (v.asksForms() || v.plan || v.write != "" || v.mono != ""):
		return wrongUsage("--filled stands without --before, --yearly, --plan, --write and --mono: it is of what was heard")
	case v.read && (v.write != "" || v.mono != "" || v.plan):
		return wrongUsage("--read stands without --write, --mono and --plan: first one, then the other")
	}
	if err := v.forms.check(); err != nil {
		return err
	}
	l, err := newListening(ctx, a, session, v)
	if err != nil {
		return err
	}
	switch {
	case v.asksForms():
		return l.print(a.out, v.forms)
	case v.plan:
		return l.sayPlan(a.out)
	case v.write != "" || v.mono != "":
		return l.write(a.out, v)
	case v.read:
		return l.compare(ctx, a, recordings, v)
	}
	return l.live(ctx, a, v)
}

// check refuses what makes no sense.
func (v verifying) check() error {
	if v.groups < 1 || v.groups > tones.MostOutputs {
		return fmt.Errorf("--groups %d; the outputs can be played in 1 to %d parts", v.groups, tones.MostOutputs)
	}
	if v.level == 0 {
		return nil
	}
	return tones.CheckLevel(v.level)
}
