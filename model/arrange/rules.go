package arrange

import (
	"slices"
	"strings"

	"bayhand/model/check"
	"bayhand/model/heard"
	"bayhand/model/phrase"
	"bayhand/model/studio"
	"bayhand/model/text"
)

// Saving is what letting a rule of the trade go would save, as the sum over columns
// has it: plugs of all sessions by their weights, and lines of wiring; less than 0 is
// more of them.
type Saving struct {
	Rule  Rule  `json:"rule"`
	Plugs int64 `json:"plugs"`
	Lines int   `json:"lines"`
	// Places are ports that find one, which have none with the rule.
	Places int    `json:"places"`
	Does   string `json:"does"`
}

// String says it to a person, such as "saves 8 plugs and takes 1 line more"; empty where
// the rule costs nothing here.
func (s Saving) String() string {
	var parts []string
	for _, part := range []struct {
		count int
		what  string
	}{{int(s.Plugs), "plug"}, {s.Lines, "line"}} {
		switch {
		case part.count > 0:
			parts = append(parts, phrase.Put("saves {count}", "count", counted(part.count, part.what)))
		case part.count < 0:
			parts = append(parts, phrase.Put("takes {count} more", "count", counted(-part.count, part.what)))
		}
	}
	if s.Places > 0 {
		parts = append(parts, phrase.Put("finds room for {places}", "places", counted(s.Places, "port")))
	}
	return strings.Join(parts, " and ")
}

// savings lets each rule go by itself that is not waived.
func savings(q Request, with *Layout) ([]Saving, error) {
	all := []Saving{}
	rules := Rules()
	for n, rule := range AllRules() {
		q.tell("letting one rule go at a time", n, len(rules))
		if slices.Contains(q.Waived, rule) {
			continue
		}
		without := q
		without.Progress, without.Effort = nil, q.aside()
		without.Waived = append(slices.Clone(q.Waived), rule)
		one := Saving{Rule: rule, Does: rules[rule]}
		// Fewer rules allow what is there with all of them: nothing can get worse.
		if l, err := Lay(without); err == nil && better(q, l, with) {
			one.Plugs = with.columns.plugs() - l.columns.plugs()
			one.Lines = with.columns.lines() - l.columns.lines()
			one.Places = len(with.left) - len(l.left)
		}
		all = append(all, one)
	}
	return all, nil
}

// better says whether a layout has room for more than another, or costs less in plugs and
// lines.
func better(q Request, a, b *Layout) bool {
	price := q.price()
	sum := func(l *Layout) int64 { return price.plug*l.columns.plugs() + price.line*int64(l.columns.lines()) }
	return len(a.left) < len(b.left) || len(a.left) == len(b.left) && sum(a) < sum(b)
}

// AllRules are the rules in the order of their names.
func AllRules() []Rule {
	var all []Rule
	for rule := range Rules() {
		all = append(all, rule)
	}
	slices.Sort(all)
	return all
}

// Findings are what check finds in a room and did not find in the room as it was: of
// each kind those that are more than there were. They have no places, since no file
// has them yet.
func Findings(before, after *studio.Studio) text.Problems {
	had := map[string]int{}
	for _, f := range check.Studio(heard.NewRoom(before), text.Places{}) {
		had[f.Code]++
	}
	fresh := text.Problems{}
	for _, f := range check.Studio(heard.NewRoom(after), text.Places{}) {
		if had[f.Code]--; had[f.Code] < 0 {
			fresh = append(fresh, f)
		}
	}
	return fresh
}
