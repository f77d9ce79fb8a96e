package main

import (
	"slices"

	"bayhand/model/check"
	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/recall/files"
	"bayhand/recall/keep"
	"bayhand/recall/words"
)

// showRefused says what of a session is not possible, why, and what can be done about it.
// Nothing was changed.
func (v *view) showRefused(p *files.Studio, not *keep.NotGivenError, act keep.Act) error {
	if check.Unwired(p.Studio) {
		v.out.complain("", "  ", words.Put("bayhand: {why}; nothing was changed", "why", nothingWired(not.Session)))
		return silent(cannot)
	}
	asked := v.files.library().Held(p, act.Session)
	w := words.In(p.Studio).Of(asked)
	v.out.complain("", "  ", words.Put("bayhand: {session} is not possible; nothing was changed", "session", not.Session))
	for _, m := range w.Missing(not.Missing) {
		v.out.complain("  ", "    ", m.Want)
		v.out.complain("    ", "    ", m.Because)
	}
	if not.Shared != "" {
		v.out.complain("  ", "    ", not.Shared)
	}
	showMended(v.out, p, not.Missing)
	if act.Do != keep.ToRecall {
		return silent(cannot)
	}
	if !act.Options.Instead && slices.ContainsFunc(not.Missing[0].InUse, func(u plan.InUse) bool { return u.Session != "" }) {
		v.sayInstead(act)
	}
	if asked != nil && len(asked.Wants)+len(asked.Silent) > len(not.Missing) {
		act.Options.Partly = true
		v.out.complain("  ", "    ", words.Put("To set up all but this: {command}", "command", commandOf(act)))
		showOthers(v.out, not.Missing)
	}
	return silent(cannot)
}

// searchedTooShort says of a recall for which the search stopped before it found a plan how
// to have it look longer.
func (v *view) searchedTooShort(err error, act keep.Act) error {
	v.out.complain("", "  ", words.Put("bayhand: nothing was changed: {why}", "why", err.Error()))
	if act.Do == keep.ToRecall && act.Session != keep.RestName {
		act.Options.Effort = plan.MoreEffort(act.Options.Effort)
		v.out.complain("  ", "    ", words.Put("To let it search longer: {command}", "command", commandOf(act)))
	}
	return silent(cannot)
}

// sayInstead says how to recall a session in the place of what is in its way.
func (v *view) sayInstead(act keep.Act) {
	act.Options.Instead = true
	v.out.complain("  ", "    ", words.Put("To have it instead of what is there now: {command}", "command", commandOf(act)))
}

// showRest says how to see what of a refused session is possible.
func showRest(out *output, p *files.Studio, s *files.Session, made *plan.Plan) {
	showMended(out, p, made.Missing)
	if all := len(s.Session.Wants) + len(s.Session.Silent); len(made.Steps) == 0 && all > len(made.Missing) {
		out.complain("  ", "    ", words.Put("To see the steps to all but this: bayhand plan {session} --partly", "session", s.Session.Name))
		showOthers(out, made.Missing)
	}
}

// showMended says what is to be done once faulty jacks are mended.
func showMended(out *output, p *files.Studio, missing []plan.Missing) {
	var jacks []name.Point
	for _, m := range missing {
		jacks = append(jacks, m.Mended...)
	}
	for _, sentence := range words.In(p.Studio).Mended(jacks, p.Studio.Faulty) {
		out.complain("  ", "    ", sentence)
	}
}

// showOthers says that another of the lines that are not possible together could go.
func showOthers(out *output, missing []plan.Missing) {
	if slices.ContainsFunc(missing, func(m plan.Missing) bool { return m.Shortage != nil && len(m.Shortage.Takes) > 1 }) {
		out.complain("  ", "    ", "To do without another of these lines instead, take it out of the session's file.")
	}
}
