package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"bayhand/drivers/descriptions"
	"bayhand/drivers/message"
	"bayhand/model/device"
	"bayhand/recall/words"
)

func devicePageCommand(a *app) *cobra.Command {
	var w describing
	c := &cobra.Command{
		Use:   "page DESCRIPTION",
		Short: "The manual page of a description, made from it",
		Long: `Write a description out as a page of a manual, in Markdown: what to set on the
device first, its parameters, its links, its messages, and what is known to be
wrong with it.`,
		Example: "  bayhand device page devices/mine.yaml --size 8x8 > mine.md",
		Args:    arguments(1, 1),
		ValidArgsFunction: func(_ *cobra.Command, _ []string, begun string) ([]string, cobra.ShellCompDirective) {
			return beginning(descriptions.Names(), begun), cobra.ShellCompDirectiveDefault
		},
		RunE: func(_ *cobra.Command, args []string) error {
			text, err := devicePage(a.files, args[0], w)
			if err != nil {
				return err
			}
			return a.out.say(manualPage{args[0], title(text), text}, "%s", strings.TrimRight(text, "\n"))
		},
	}
	w.flags(c)
	return c
}

func devicePage(r *reader, named string, w describing) (string, error) {
	d, codec, err := describe(r, named, w)
	if err != nil {
		return "", err
	}
	inputs, outputs := codec.Size()
	examples, err := codec.Explain(message.Crosspoint{Output: min(2, outputs), Input: min(3, inputs)})
	if err != nil {
		return "", &failure{cannot, err}
	}
	var p pageWriter
	p.head(d)
	p.prepare(d)
	p.parameters(d)
	p.messages(d, codec, examples)
	p.manners(d, codec)
	p.list("Known faults", d.Faults)
	return p.String(), nil
}

// pageWriter writes Markdown.
type pageWriter struct{ strings.Builder }

func (p *pageWriter) line(format string, args ...any) { fmt.Fprintf(p, format+"\n", args...) }

func (p *pageWriter) list(heading string, sentences []string) {
	if len(sentences) == 0 {
		return
	}
	p.line("\n## %s\n", heading)
	for _, s := range sentences {
		p.line("- %s", s)
	}
}

func (p *pageWriter) head(d *device.Description) {
	p.line("# %s: %s\n", d.Name, d.Label)
	if d.Standard != "" {
		p.line("It follows %s.", d.Standard)
	}
	p.line("It has %s and %s.", sideWords(d.Inputs, d.MaxInputs, "inputs"), sideWords(d.Outputs, d.MaxOutputs, "outputs"))
	outputs := d.Outputs
	if outputs == 0 && d.Gangs.Of > 0 {
		outputs = 3 * d.Gangs.Of // as an example
	}
	if gangs := gangWords(d, outputs); gangs != "" {
		p.line("It moves together: %s.", gangs+map[bool]string{true: ", and so on"}[d.Outputs == 0 && d.Gangs.Of > 0])
	}
	var links []string
	for _, l := range d.Links {
		links = append(links, l.String())
	}
	if len(links) > 0 {
		p.line("It is connected by: %s.", strings.Join(links, ", "))
	}
	if s := d.Serial; s != (device.Serial{}) {
		p.line("Its serial line: %s.", serialWords(s))
	}
}

func sideWords(fixed, most int, side string) string {
	switch {
	case fixed > 0:
		return fmt.Sprintf("%d %s", fixed, side)
	case most > 0:
		return fmt.Sprintf("as many %s as the studio says, %d at most", side, most)
	}
	return fmt.Sprintf("as many %s as the studio says", side)
}

func serialWords(s device.Serial) string {
	or := func(n, usual int) int {
		if n == 0 {
			return usual
		}
		return n
	}
	word := func(text string) string {
		if text == "" {
			return "none"
		}
		return text
	}
	return fmt.Sprintf("%d baud, %d data bits, parity %s, %d stop bits, flow control %s",
		or(s.Baud, 9600), or(s.DataBits, 8), word(s.Parity), or(s.StopBits, 1), word(s.Flow))
}

func (p *pageWriter) prepare(d *device.Description) { p.list("Set on it first", d.Prepare) }

func (p *pageWriter) parameters(d *device.Description) {
	if len(d.Parameters) == 0 {
		return
	}
	p.line("\n## Parameters\n")
	for _, one := range d.Parameters {
		legal := strings.Join(one.Choices, " or ")
		switch {
		case one.Secret:
			legal = "where it is kept: file:PATH or env:NAME"
		case legal == "":
			legal = fmt.Sprintf("%d to %d", one.From, one.To)
		}
		sentence := "- `{parameter}`: {help} ({legal})"
		if one.Default != "" {
			sentence = "- `{parameter}`: {help} ({legal}, by default {default})"
		}
		p.line("%s", words.Put(sentence, "parameter", one.Name, "help", one.Help, "legal", legal, "default", one.Default))
	}
}

func (p *pageWriter) messages(d *device.Description, codec *message.Codec, examples []message.Example) {
	inputs, outputs := codec.Size()
	p.line("\n## Messages\n")
	p.line("Written out for %d inputs and %d outputs; `>` goes to the device, `<` comes back.", inputs, outputs)
	for _, x := range examples {
		p.line("\n`%s`\n", strings.TrimSpace(x.Role.String()+" "+aboutExample(x)))
		if len(x.Bytes) > 0 {
			p.line("    > %s", codec.Show(x.Bytes))
		}
		for _, f := range x.Answers {
			p.line("    < %s", f.Form)
			p.line("        %s", f.Means)
		}
		if e, _ := d.Exchange(x.Role); e.Batch > 1 {
			p.line("\nOne message takes %d of them at most.", e.Batch)
		}
	}
}

// manners are how fast it can be talked to, and what can be believed of it.
func (p *pageWriter) manners(d *device.Description, codec *message.Codec) {
	p.line("\n## How bayhand drives it\n")
	p.line("- Between two messages: %d ms. Its crosspoints move for %d ms.", d.Pacing.Gap, d.Pacing.Settle)
	p.line("- bayhand waits %d ms for an answer; a question without one is asked again %d times, a change never.", d.Pacing.Timeout, d.Pacing.Retries)
	if codec.ReadsBack() == device.RoleUnknown {
		p.line("- It has no read-back: what was sent is never confirmed.")
	} else {
		p.line("- What it has switched is read back.")
	}
	if _, ok := d.Exchange(device.Report); ok {
		p.line("- It reports when somebody changes it at the panel.")
	}
	if len(d.Transcripts) > 0 {
		p.line("\nIts messages agree with these conversations:\n")
		for _, t := range d.Transcripts {
			p.line("- %s (%s)", t.Title, t.Source)
		}
	}
}
