package page

import (
	"context"
	"fmt"

	"bayhand/model/session"
	"bayhand/recall/words"
)

// sheet is a session's recall sheet: its notes, and every knob and program to be
// set by hand, each to be ticked. The ticks stay in the browser that made them.
type sheet struct {
	Session string
	Notes   string
	Gear    []gearSheet
}

type gearSheet struct {
	Label string
	Items []item
}

// item is one setting. Key names it among all of the session's.
type item struct {
	Key, Name, Value string
}

func (p *page) sheetOf(ctx context.Context, called string) *sheet {
	return p.sheet(p.session(ctx, called))
}

// sheet is nil for a session that says nothing of the kind.
func (p *page) sheet(s *session.Session) *sheet {
	if s == nil || s.Notes == "" && len(s.Settings) == 0 && len(s.Programs) == 0 {
		return nil
	}
	out := &sheet{Session: s.Name, Notes: words.Clean(s.Notes)}
	for _, g := range s.Settings {
		one := gearSheet{Label: p.words.Owner(g.Gear)}
		for i, v := range g.Values {
			one.Items = append(one.Items, item{fmt.Sprintf("%s/%s/%d", s.Name, g.Gear, i), words.Clean(v.Name), words.Clean(v.Value)})
		}
		out.Gear = append(out.Gear, one)
	}
	for _, program := range s.Programs {
		number := program.Number
		for _, g := range p.Studio.Gear {
			if g.Name == program.Gear && g.MIDI != nil {
				number += g.MIDI.First
			}
		}
		out.Gear = append(out.Gear, gearSheet{p.words.Owner(program.Gear), []item{{
			fmt.Sprintf("%s/%s/program", s.Name, program.Gear), "program", fmt.Sprint(number)}}})
	}
	return out
}
