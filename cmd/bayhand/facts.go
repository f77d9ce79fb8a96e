package main

import (
	"fmt"
	"strconv"
	"text/tabwriter"

	"bayhand/recall/keep"
	"bayhand/recall/words"
)

// fact is one thing that is in or closed, and why that is believed.
type fact struct {
	what string
	keep.Fact
}

// facts are all that is known, the bay first.
func facts(k keep.Known) []fact {
	var all []fact
	for _, c := range k.Cords {
		what := words.Put("cord {ends}", "ends", cordPhrase(c))
		if c.Number > 0 {
			what = words.Put("cord {number}, {ends}", "number", strconv.Itoa(c.Number), "ends", cordPhrase(c))
		}
		all = append(all, fact{what, c.Fact})
	}
	for _, l := range k.Leads {
		all = append(all, fact{words.Put("gear cable {port} - {jack}", "port", l.Port.String(), "jack", l.Jack.String()), l.Fact})
	}
	for _, d := range k.Dummies {
		all = append(all, fact{words.Put("dummy plug in {jack}", "jack", d.Jack.String()), d.Fact})
	}
	for _, c := range k.Crosspoints {
		at := c.Output.Owner + ": "
		switch {
		case c.How == keep.NotKnown:
			at += words.Put("{output}: switching, unknown until read", "output", c.Output.Port())
		case c.Input.IsZero():
			at += words.Put("{output} off", "output", c.Output.Port())
		default:
			at += c.Input.Port() + " -> " + c.Output.Port()
		}
		all = append(all, fact{at, c.Fact})
	}
	return all
}

// showFacts lists what is known with how, since when and by whom.
func showFacts(out *output, k keep.Known) error {
	if out.json {
		return out.answer(k)
	}
	all := facts(k)
	if len(all) == 0 {
		out.printf("no plug is in, and the studio has no matrix\n")
	}
	columns := tabwriter.NewWriter(out.to, 0, 0, 2, ' ', 0)
	for _, f := range all {
		how := words.How(f.How)
		if f.How == keep.Told && f.Who != "" {
			how = words.Put("reported by {who}", "who", words.Clean(f.Who))
		}
		since := ""
		if !f.Since.IsZero() {
			since = f.Since.Local().Format("2006-01-02 15:04")
		}
		fmt.Fprintf(columns, "%s\t%s\t%s\n", out.named(f.what), how, since)
	}
	return columns.Flush()
}
