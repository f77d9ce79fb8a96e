package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"bayhand/drivers/descriptions"
	"bayhand/drivers/message"
	"bayhand/model/device"
	"bayhand/model/text"
	"bayhand/recall/disk"
)

// describing is a description with the matrix that it is tried for.
type describing struct {
	size       string
	parameters []string
}

func (w *describing) flags(c *cobra.Command) {
	c.Flags().StringVar(&w.size, "size", "", "the `SIZE` of the matrix, inputs first, such as 16x16")
	c.Flags().StringArrayVar(&w.parameters, "set", nil, "a parameter of the description, such as `rows=inputs`")
}

func deviceCommand(a *app) *cobra.Command {
	c := &cobra.Command{
		Use:   "device",
		Short: "Write a device description of one's own: check it, try it",
		Long: `A device description says in one file how a matrix is talked to. Check it while
writing, without the device; then try it on the device.`,
		RunE: nearestSub,
	}
	c.AddCommand(deviceCheckCommand(a), devicePageCommand(a), deviceTryCommand(a))
	return c
}

// nearestSub refuses a word that is none of the commands below.
func nearestSub(c *cobra.Command, args []string) error {
	if len(args) > 0 {
		return wrongUsage("%s has no command %q; it has check, page and try", c.Name(), args[0])
	}
	return c.Help()
}

func deviceCheckCommand(a *app) *cobra.Command {
	var w describing
	c := &cobra.Command{
		Use:   "check DESCRIPTION",
		Short: "What is wrong in a description, and its messages in bytes",
		Long: `Read a description, run its transcripts, and write out each of its messages for
an example, to be held against the device's manual. Nothing is sent.`,
		Example: `  bayhand device check devices/mine.yaml --size 8x8
  bayhand device check midi-nrpn --size 16x16 --set first=64`,
		Args: arguments(1, 1),
		ValidArgsFunction: func(_ *cobra.Command, _ []string, begun string) ([]string, cobra.ShellCompDirective) {
			return beginning(descriptions.Names(), begun), cobra.ShellCompDirectiveDefault
		},
		RunE: func(_ *cobra.Command, args []string) error { return runDeviceCheck(a, args[0], w) },
	}
	w.flags(c)
	return c
}

func runDeviceCheck(a *app, name string, w describing) error {
	d, codec, err := describe(a.files, name, w)
	if err != nil {
		return err
	}
	inputs, outputs := codec.Size()
	examples, err := codec.Explain(message.Crosspoint{Output: min(2, outputs), Input: min(3, inputs)})
	if err != nil {
		return &failure{cannot, err}
	}
	if err := message.Rehearse(d); err != nil {
		return &failure{cannot, fmt.Errorf("the transcripts of %s do not agree with its messages:\n%w", d.Name, err)}
	}
	if a.out.json {
		return a.out.answer(shownDevice(d, codec, examples))
	}
	showDevice(a.out, d, codec, examples)
	return nil
}

// describe reads a description and makes it ready for a matrix. What is wrong is
// reported at its place.
func describe(r *reader, name string, w describing) (*device.Description, *message.Codec, error) {
	file, src, err := descriptions.NamedBy(disk.Text, name, ".", filepath.Dir(r.at.Studio))
	if errors.Is(err, os.ErrNotExist) || errors.Is(err, descriptions.ErrUnknown) {
		return nil, nil, &failure{usage, err}
	}
	if err != nil {
		return nil, nil, err
	}
	d, _, problems := text.ReadDevice(file, src)
	r.out.report(problems, map[string][]byte{file: src})
	if problems.Errors() {
		return nil, nil, silent(cannot)
	}
	inputs, outputs, err := size(w.size)
	if err != nil {
		return nil, nil, err
	}
	parameters, err := settings(w.parameters)
	if err != nil {
		return nil, nil, err
	}
	codec, err := message.New(d, exampleSize(inputs, d.Inputs, d.MaxInputs), exampleSize(outputs, d.Outputs, d.MaxOutputs), parameters)
	if err != nil {
		return nil, nil, &failure{usage, err}
	}
	return d, codec, nil
}

// settings reads parameters as flags have them, such as rows=inputs.
func settings(items []string) (map[string]string, error) {
	given := map[string]string{}
	for _, item := range items {
		key, value, found := strings.Cut(item, "=")
		if !found {
			return nil, wrongUsage("--set %s has no value; write NAME=VALUE", item)
		}
		given[key] = value
	}
	return given, nil
}

// exampleSize is one side of the matrix: what was asked for, what the device
// always has, or eight of a size that the studio gives.
func exampleSize(asked, fixed, most int) int {
	const usual = 8
	switch {
	case asked > 0:
		return asked
	case fixed > 0:
		return fixed
	case most > 0:
		return min(usual, most)
	}
	return usual
}
