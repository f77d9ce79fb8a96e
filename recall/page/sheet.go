package page

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"bayhand/model/session"
	"bayhand/recall/keep"
	"bayhand/recall/words"
)

// sheet is a session's recall sheet: its notes, and every knob and program to be
// set by hand.
type sheet struct {
	Notes string
	Gear  []gearSheet
	// Recall is the one that the settings are made in, and ticked; 0 for a sheet
	// that is only shown. Left counts those that are not made.
	Recall      uint64
	Left, Items int
}

type gearSheet struct {
	Label string
	Items []item
}

// item is one setting. Key names it among all of the session's.
type item struct {
	Key, Name, Value string
	Made             bool
}

// sheetOf is that of the session that the room is in, with what is made of it.
func (p *page) sheetOf(ctx context.Context, s keep.Status) *sheet {
	out := p.sheet(p.session(ctx, s.Session))
	if out == nil {
		return nil
	}
	made, err := p.ticks.in(s.Recall)
	if err != nil {
		out.Notes = strings.TrimSpace(out.Notes + " (" + err.Error() + ")")
	}
	out.Recall = s.Recall
	for g := range out.Gear {
		for i := range out.Gear[g].Items {
			one := &out.Gear[g].Items[i]
			one.Made = made[one.Key]
			out.Items++
			if !one.Made {
				out.Left++
			}
		}
	}
	return out
}

func (s *sheet) has(key string) bool {
	return slices.ContainsFunc(s.Gear, func(g gearSheet) bool {
		return slices.ContainsFunc(g.Items, func(i item) bool { return i.Key == key })
	})
}

// sheet is nil for a session that says nothing of the kind.
func (p *page) sheet(s *session.Session) *sheet {
	if s == nil || s.Notes == "" && len(s.Settings) == 0 && len(s.Programs) == 0 {
		return nil
	}
	out := &sheet{Notes: words.Clean(s.Notes)}
	for _, g := range s.Settings {
		one := gearSheet{Label: p.words.Owner(g.Gear)}
		for i, v := range g.Values {
			one.Items = append(one.Items, item{Key: fmt.Sprintf("%s/%s/%d", s.Name, g.Gear, i), Name: words.Clean(v.Name), Value: words.Clean(v.Value)})
		}
		out.Gear = append(out.Gear, one)
	}
	for _, program := range s.Programs {
		number := s.PanelNumber(p.Studio, program)
		out.Gear = append(out.Gear, gearSheet{p.words.Owner(program.Gear), []item{{
			Key: fmt.Sprintf("%s/%s/program", s.Name, program.Gear), Name: "program", Value: fmt.Sprint(number)}}})
	}
	return out
}
