package strip

import (
	"fmt"

	"bayhand/model/phrase"
)

// Remark is what had to be done to a text so that it fits, and what to write instead.
type Remark struct {
	Bay  string
	Row  Row
	Jack string
	Text Text
	// Hint is what would spare it; empty where there is nothing to say.
	Hint string
}

// String is a sentence for a person.
func (r Remark) String() string {
	done := fmt.Sprintf("had to be cut to %q", spoken(r.Text))
	if r.Text.Alike {
		done = fmt.Sprintf("reads like another jack of the bay and stands as %q", spoken(r.Text))
	}
	text := fmt.Sprintf("%s, %s, at %s: %q %s", r.Bay, r.Row, r.Jack, r.Text.Full, done)
	return text
}

func spoken(t Text) string {
	text := ""
	for _, line := range t.Lines {
		text = joined(text, line)
	}
	return text
}

// Remarks are those of strips, each text once a strip.
func Remarks(strips []Strip) []Remark {
	var all []Remark
	for _, s := range strips {
		seen := map[string]bool{}
		add := func(jack string, t Text) {
			if !t.Cut && !t.Alike || seen[t.Full] {
				return
			}
			seen[t.Full] = true
			r := Remark{Bay: s.Bay, Row: s.Row, Jack: jack, Text: t}
			if t.Write != "" {
				r.Hint = phrase.Put("write short: at {text}", "text", t.Write)
			}
			all = append(all, r)
		}
		for _, run := range s.Runs {
			for _, c := range s.Cells {
				if c.Column == run.First {
					add(c.Jack.String(), run.Text)
				}
			}
		}
		for _, c := range s.Cells {
			add(c.Jack.String(), c.Text)
		}
	}
	return all
}
