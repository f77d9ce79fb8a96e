package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"sync"

	"github.com/spf13/cobra"

	"bayhand/drivers/descriptions"
	"bayhand/drivers/link"
	"bayhand/drivers/matrix"
	"bayhand/drivers/message"
	"bayhand/model/device"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// trying is what to try on a device.
type trying struct {
	describing
	link     string
	switches []string
	// record is the file that the conversation is kept in; empty for none.
	record string
	guide  bool
}

func deviceTryCommand(a *app) *cobra.Command {
	var w trying
	c := &cobra.Command{
		Use:   "try DESCRIPTION --link LINK",
		Short: "Try a description on the device, and show every byte",
		Long: `Ask the device who it is and what it has switched, and show every byte that goes
out (>) and comes back (<). Nothing is switched unless --switch says what: then
it is switched and read back. Loudspeakers and headphones down first: what is
switched may be heard.

--guide leads you through a first conversation, and asks before anything is sent.
--record keeps what was said as a transcript, to be put into the description:
from then on it is a test of it.`,
		Example: `  bayhand device try devices/mine.yaml --link serial:/dev/ttyUSB0 --size 8x8
  bayhand device try line-switch --link tcp:127.0.0.1:5025 --size 8x4 --switch out1=in2`,
		Args: arguments(1, 1),
		ValidArgsFunction: func(_ *cobra.Command, _ []string, begun string) ([]string, cobra.ShellCompDirective) {
			return beginning(descriptions.Names(), begun), cobra.ShellCompDirectiveDefault
		},
		RunE: func(c *cobra.Command, args []string) error { return runDeviceTry(c.Context(), a, args[0], w) },
	}
	w.flags(c)
	c.Flags().StringVar(&w.link, "link", "", "the `LINK` that it is connected to, such as serial:/dev/ttyUSB0?baud=9600")
	c.Flags().StringVar(&w.record, "record", "", "keep the conversation in a new `FILE`, as a transcript")
	c.Flags().BoolVar(&w.guide, "guide", false, "ask before each step")
	c.Flags().StringArrayVar(&w.switches, "switch", nil, "switch an output to an input, or off: `out1=in2`")
	return c
}

const triedName = "matrix"

func runDeviceTry(ctx context.Context, a *app, named string, w trying) error {
	if w.link == "" {
		return wrongUsage("--link is missing; write the port that the device is connected to (`bayhand links` lists those of this machine)")
	}
	d, codec, err := describe(a.files, named, w.describing)
	if err != nil {
		return err
	}
	m := triedMatrix(d, codec, w)
	closing, off, err := wantedSwitches(m, w.switches)
	if err != nil {
		return err
	}
	if w.guide && len(w.switches) > 0 {
		return wrongUsage("--guide asks what to switch; leave --switch out")
	}
	g := &guide{a.out, bufio.NewScanner(a.in)}
	if w.guide {
		if err := g.before(d); err != nil {
			return &failure{cannot, err}
		}
	}
	opened, err := link.Open(ctx, w.link, link.Options{Serial: d.Serial, Kinds: d.Links})
	if err != nil {
		return &failure{noAnswer, err}
	}
	shown := &shownLink{Link: opened, codec: codec, to: a.out.err, hide: func(p []byte) []byte { return p }}
	driven, err := matrix.New(d, m, shown, matrix.SystemClock{})
	if err != nil {
		return errors.Join(&failure{usage, err}, opened.Close())
	}
	shown.mu.Lock()
	shown.hide = driven.Hide // nothing was sent yet
	shown.mu.Unlock()
	kept := newRecording(d, codec, w)
	driven.Record(kept.turn)
	var next func([]patch.Crosspoint) error
	switch {
	case w.guide:
		next = func(before []patch.Crosspoint) error { return g.switchOne(ctx, driven, m, before) }
	case len(w.switches) > 0:
		next = func(before []patch.Crosspoint) error { return switched(ctx, a.out, driven, before, closing, off) }
	}
	kept.identity, err = tried(ctx, a.out, driven, next)
	if err := errors.Join(err, driven.Close()); err != nil || w.record == "" {
		return err
	}
	if err := kept.keep(w.record); err != nil {
		return err
	}
	a.out.printf("the conversation is in %s\n", w.record)
	return nil
}

func triedMatrix(d *device.Description, codec *message.Codec, w trying) studio.Matrix {
	m := studio.Matrix{Name: triedName, Kind: studio.Amplifiers, Device: &studio.Device{}}
	if d.Switching == device.ByCrosspoint {
		m.Kind = studio.Contacts
	}
	m.Inputs, m.Outputs = codec.Size()
	for _, gang := range d.Gangs.All(m.Outputs) {
		var group []name.Point
		for _, output := range gang {
			group = append(group, m.Out(output))
		}
		m.Stereo = append(m.Stereo, group)
	}
	for _, item := range w.parameters {
		key, value, _ := strings.Cut(item, "=")
		m.Device.Parameters = append(m.Device.Parameters, studio.Parameter{Name: key, Value: value})
	}
	return m
}

// wantedSwitches reads out1=in2 and out1=off.
func wantedSwitches(m studio.Matrix, items []string) (closing []patch.Crosspoint, off []name.Point, err error) {
	for _, item := range items {
		output, input, _ := strings.Cut(item, "=")
		o, err := name.Parse(triedName + "/" + output)
		if err != nil || o.Number < 1 || o.Number > m.Outputs || o != m.Out(o.Number) {
			return nil, nil, wrongUsage("--switch %s: %q is no output from out1 to out%d", item, output, m.Outputs)
		}
		if input == "off" {
			off = append(off, o)
			continue
		}
		i, err := name.Parse(triedName + "/" + input)
		if err != nil || i.Number < 1 || i.Number > m.Inputs || i != m.In(i.Number) {
			return nil, nil, wrongUsage("--switch %s: %q is no input from in1 to in%d, nor off", item, input, m.Inputs)
		}
		closing = append(closing, patch.Crosspoint{Output: o, Input: i})
	}
	return closing, off, nil
}

// tried asks the device who it is and what it has closed, and goes on with next,
// which may be nil.
func tried(ctx context.Context, out *output, m *matrix.Matrix, next func(before []patch.Crosspoint) error) (identity string, err error) {
	if identity, err = m.Identify(ctx); err != nil {
		return "", triedFailure(err)
	}
	if identity != "" {
		out.printf("it is: %s\n", identity)
	}
	before, err := readUnclear(ctx, out, m)
	switch {
	case errors.Is(err, matrix.ErrNoReadBack):
		out.printf("no read-back\n")
	case err != nil:
		return identity, triedFailure(err)
	default:
		out.printf("it has closed: %s\n", closedList(before))
	}
	if next == nil {
		return identity, nil
	}
	return identity, next(before)
}

// readUnclear reads the device, and says what it said of outputs that is no input.
func readUnclear(ctx context.Context, out *output, m *matrix.Matrix) ([]patch.Crosspoint, error) {
	read, err := m.Read(ctx)
	var unclear *matrix.UnclearError
	if errors.As(err, &unclear) {
		out.printf("%v\n", unclear)
		err = nil
	}
	if err == nil {
		for _, group := range m.Split(read) {
			out.printf("%s move together, and are apart\n", group)
		}
	}
	return read, err
}

func switched(ctx context.Context, out *output, m *matrix.Matrix, before, closing []patch.Crosspoint, off []name.Point) error {
	if err := m.Switch(ctx, toOpen(m.ReadsBack(), before, closing, off), closing); err != nil {
		return triedFailure(err)
	}
	if !m.ReadsBack() {
		out.printf("sent, not confirmed: look at the device's panel\n")
		return nil
	}
	after, err := readUnclear(ctx, out, m)
	if err != nil {
		return triedFailure(err)
	}
	out.printf("it has closed now: %s\n", closedList(after))
	for _, c := range after {
		for _, o := range off {
			if c.Output == o {
				return &failure{cannot, fmt.Errorf("%s was to be off; the device reports %s -> %s", o.Port(), c.Input.Port(), o.Port())}
			}
		}
	}
	for _, c := range closing {
		if !slices.Contains(after, c) {
			return &failure{cannot, fmt.Errorf("%s -> %s was set, and the device does not report it", c.Input.Port(), c.Output.Port())}
		}
	}
	return nil
}

// toOpen is what the outputs that are to move listen to now.
func toOpen(known bool, before, closing []patch.Crosspoint, off []name.Point) []patch.Crosspoint {
	moves := map[name.Point]bool{}
	for _, c := range closing {
		moves[c.Output] = true
	}
	for _, o := range off {
		moves[o] = true
	}
	var open []patch.Crosspoint
	for _, c := range before {
		if moves[c.Output] && !slices.Contains(closing, c) {
			open = append(open, c)
			delete(moves, c.Output)
		}
	}
	// One whose input is not known is turned off all the same.
	for _, o := range off {
		if moves[o] && !known {
			open = append(open, patch.Crosspoint{Output: o, Input: name.At(triedName, "in", 1)})
		}
	}
	return open
}

func closedList(list []patch.Crosspoint) string {
	if len(list) == 0 {
		return "nothing"
	}
	var words []string
	for _, c := range list {
		words = append(words, c.Output.Port()+" "+c.Input.Port())
	}
	return strings.Join(words, ", ")
}

func triedFailure(err error) error {
	if errors.Is(err, matrix.ErrRefused) || errors.Is(err, matrix.ErrImpossible) {
		return &failure{cannot, err}
	}
	return &failure{noAnswer, err}
}

// shownLink shows what passes.
type shownLink struct {
	link.Link
	codec *message.Codec
	// mu keeps what goes out and what comes back apart.
	mu sync.Mutex
	to io.Writer
	// hide takes secrets out of what is shown; mu guards it.
	hide func([]byte) []byte
}

func (l *shownLink) Write(p []byte) (int, error) {
	l.show(">", p) // before its answer can come
	return l.Link.Write(p)
}

func (l *shownLink) Read(p []byte) (int, error) {
	n, err := l.Link.Read(p)
	l.show("<", p[:n])
	return n, err
}

func (l *shownLink) show(arrow string, p []byte) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if len(p) > 0 {
		fmt.Fprintf(l.to, "%s %s\n", arrow, l.codec.Show(l.hide(p)))
	}
}
