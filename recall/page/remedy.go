package page

import (
	"strconv"
	"strings"

	"bayhand/recall/keep"
)

// remedy is an act that answers a problem, as a form with one button.
type remedy struct {
	Key, Text string
	Fields    []formField
	// Recalls is true for what only a screen that may recall can say.
	Recalls bool
}

// formField is a value that a form carries.
type formField struct{ Name, Value string }

// remedies are what a person can say to a problem, and where it is said.
func (p *page) remedies(q keep.Problem) []remedy {
	var all []remedy
	for _, act := range q.Remedies {
		fields := fieldsOf(act)
		var key []string
		for _, f := range fields {
			key = append(key, f.Value)
		}
		kind, _ := keep.ActKindOf(act.Do)
		all = append(all, remedy{"remedy-" + strings.Join(key, "-"), p.words.Remedy(q, act), fields, !kind.ByHand})
	}
	return all
}

// fieldsOf are the fields of a form that is the act, as actOf reads them.
func fieldsOf(act keep.Act) []formField {
	fields := []formField{{"do", string(act.Do)}}
	add := func(called, value string) {
		if value != "" {
			fields = append(fields, formField{called, value})
		}
	}
	add("session", act.Session)
	add("matrix", act.Matrix)
	add("room", act.Options.Room)
	said := func(called string, is bool) {
		if is {
			add(called, "yes")
		}
	}
	said("partly", act.Options.Partly)
	said("leave", act.Options.LeaveCords)
	said("instead", act.Options.Instead)
	said("inside", act.Options.Inside)
	add("prefer", act.Options.Prefer)
	if act.Options.Effort > 0 {
		add("effort", strconv.FormatInt(act.Options.Effort, 10))
	}
	return fields
}
