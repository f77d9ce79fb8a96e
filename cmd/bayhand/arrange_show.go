package main

import (
	"fmt"
	"strconv"
	"strings"

	"bayhand/model/arrange"
	"bayhand/model/name"
	"bayhand/model/studio"
	"bayhand/recall/words"
)

// showArranged prints a proposal.
func showArranged(out *output, s *studio.Studio, a *arrange.Answer) {
	wired := a.Lines.Now > 0
	out.printf("plugs from rest, session by session%s\n", ifElse(wired, ": now, and as proposed", ""))
	for _, s := range a.Sessions {
		now := ""
		if wired {
			now = fmt.Sprintf("%8s ->", plugsText(s.Now))
		}
		out.printf("  %-28s%s %s\n", s.Session, now, plugsText(s.Proposed))
	}
	showSums(out, s, a, wired)
	showColumns(out, a.Columns)
	for n, line := range arrange.StraightLines(a.Straight) {
		if n == 0 {
			out.printf("\n")
			out.lines("", "  ", "straight, on no bay: microphone lines, since phantom power does not belong on a bay that carries lines")
		}
		out.printf("  %s\n", line)
	}
	if wired && len(a.Moves) > 0 {
		out.printf("\n")
		for _, sentence := range worthMoving(a) {
			out.lines("", "", sentence)
		}
		for _, m := range a.Moves {
			out.printf("  %-20s %-12s -> %s\n", m.Port, pointText(m.From), m.To)
		}
	}
}

// worthMoving says what the cables that move cost and save, and whether that is believed
// of sessions that the proposal does not know. Which of them is worth more is for a person
// to say: a cable moves once, and plugs are handled at each recall.
func worthMoving(a *arrange.Answer) []string {
	saved, cables := a.Plugs.Now-a.Plugs.Proposed, len(a.Moves)
	moved := words.Count(cables, "1 cable to move at the rear, once", "{n} cables to move at the rear, once")
	was, is := a.NotPossible()
	switch {
	case was > is:
		return []string{words.Count(was-is, "{moved}; 1 session more is possible", "{moved}; {n} sessions more are possible", "moved", moved)}
	case saved <= 0 && a.Lines.Proposed >= a.Lines.Now:
		return []string{words.Put("{moved}; no plug is saved, and no line of wiring", "moved", moved)}
	case saved <= 0:
		return []string{words.Put("{moved}; no plug is saved; the wiring has fewer lines to remember", "moved", moved)}
	}
	said := []string{words.Put("{moved}. The proposal saves {plugs} of {now} each time all these sessions are recalled from the rest patch: {rate}.",
		"moved", moved, "plugs", plural(saved, "plug"), "now", strconv.Itoa(a.Plugs.Now), "rate", rate(cables, saved))}
	if a.Plugs.LeftOut >= a.Plugs.Now {
		said = append(said, "For other sessions it is no better than what you have. Leave the cables where they are, unless these sessions come again and again.")
	}
	return said
}

// rate is how much is saved for each of so many, or how many it takes to save one.
func rate(cables, saved int) string {
	if saved < cables {
		return words.Put("{n} cables for each plug", "n", strconv.FormatFloat(float64(cables)/float64(saved), 'f', 1, 64))
	}
	return words.Put("{n} plugs for each cable", "n", strconv.FormatFloat(float64(saved)/float64(cables), 'f', 1, 64))
}

// sumText is a sum of plugs, with how many sessions are not in it.
func sumText(plugs string, without int) string {
	if without == 0 {
		return plugs
	}
	return words.Count(without, "{plugs} (without 1 session that is not possible)", "{plugs} (without {n} sessions that are not possible)", "plugs", plugs)
}

// showSums prints what the sums say, and how far they can be believed.
func showSums(out *output, s *studio.Studio, a *arrange.Answer, wired bool) {
	was, is := a.NotPossible()
	sum := fmt.Sprintf("together %s%s", ifElse(wired, sumText(fmt.Sprint(a.Plugs.Now), was)+" -> ", ""), sumText(plural(a.Plugs.Proposed, "plug"), is))
	if a.Plugs.Least > 0 {
		sum = fmt.Sprintf("%s, no layout takes fewer than %g", sum, a.Plugs.Least)
	}
	out.lines("", "  ", sum)
	out.printf("%s of wiring\n", ifElse(wired, fmt.Sprintf("%d -> %d lines", a.Lines.Now, a.Lines.Proposed), plural(a.Lines.Proposed, "line")))
	showCurve(out, a, wired)
	if a.Plugs.LeftOut < 0 {
		out.lines("", "  ", notLeftOut(a))
	} else {
		out.lines("", "  ", words.Put("for sessions that it does not know, expect more: each planned on a layout made from the others, {plugs}", "plugs", plural(a.Plugs.LeftOut, "plug")))
	}
	showOwned(out, a)
	out.lines("", "  ", fmt.Sprintf("%d of %d columns stay blank: %s", a.Blanks.Count, len(a.Columns), a.Blanks.Because))
	if a.Mults.Jacks > 0 {
		out.lines("", "  ", fmt.Sprintf("a mult is missing, %d jacks in all: %s", a.Mults.Jacks, a.Mults.Because))
	}
	showRules(out, a.Rules)
	for n, u := range a.Unplaced {
		if n > 0 && a.Unplaced[n-1].Because == u.Because {
			continue // said with the first port of its gear
		}
		out.lines("", "  ", words.Put("no place for {gear}: {reason}", "gear", s.Label(u.Port.Owner), "reason", u.Because))
	}
}

// showCurve prints what fewer lines and fewer cables to move would cost, where there is
// anything to choose from.
func showCurve(out *output, a *arrange.Answer, wired bool) {
	if len(a.Curve) < 2 {
		return
	}
	var parts []string
	for _, p := range a.Curve {
		text := fmt.Sprintf("%s: %g", plural(p.Lines, "line"), p.Plugs)
		if wired {
			text = fmt.Sprintf("%s and %s moved: %g", plural(p.Lines, "line"), plural(p.Moves, "cable"), p.Plugs)
		}
		parts = append(parts, text)
	}
	out.printf("plugs to choose from, as the columns add up\n")
	for _, part := range parts {
		out.lines("  ", "    ", part)
	}
}

// notLeftOut says why nothing is said of sessions that the proposal does not know.
func notLeftOut(a *arrange.Answer) string {
	if len(a.Sessions) < 2 {
		return "from one session nobody can tell how others will fare; write more of them"
	}
	return "for sessions that it does not know nothing can be said: on a layout made from the others one of these is not possible"
}

// showOwned says what cords and dummies are to be owned.
func showOwned(out *output, a *arrange.Answer) {
	var parts []string
	for _, c := range a.Cords {
		parts = append(parts, c.String())
	}
	if a.Dummies > 0 {
		parts = append(parts, ifElse(a.Dummies == 1, "1 dummy", fmt.Sprintf("%d dummies", a.Dummies)))
	}
	if len(parts) > 0 {
		out.lines("", "  ", words.Put("to own, for the worst session: {cords}", "cords", strings.Join(parts, ", ")))
	}
}

// showRules says what each rule costs that costs something.
func showRules(out *output, rules []arrange.Saving) {
	for _, r := range rules {
		if saves := r.String(); saves != "" {
			out.lines("", "  ", words.Put("--waive {rule} {saves} ({does})", "rule", string(r.Rule), "saves", saves, "does", r.Does))
		}
	}
}

// showColumns prints a line for columns that go on and are so for one reason.
func showColumns(out *output, all []arrange.Column) {
	bay := ""
	for _, r := range arrange.Runs(all) {
		if r.Bay != bay {
			bay = r.Bay
			out.printf("\n%s\n", bay)
		}
		out.printf("%7s  %-22s %s\n", r.Pairs(), r.Top, r.Bottom)
		out.lines("         ", "         ", r.Because)
	}
}

func plugsText(n int) string {
	if n < 0 {
		return "not possible"
	}
	return fmt.Sprint(n)
}

func pointText(p name.Point) string {
	if p.IsZero() {
		return "-"
	}
	return p.String()
}

func ifElse(is bool, text, other string) string {
	if is {
		return text
	}
	return other
}
