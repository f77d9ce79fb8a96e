package main

import (
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"bayhand/model/check"
	"bayhand/model/text"
)

func (a *app) checkCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "check [SESSION...]",
		Short: "Every finding in the studio and its sessions",
		Long: `Read the studio's file and the sessions (all of them, if none is named) and say
everything that is wrong with them: errors, warnings, advice.`,
		Example:           "  bayhand check\n  bayhand check tern-mix-1 --json",
		ValidArgsFunction: a.completeSessions,
		RunE:              func(_ *cobra.Command, args []string) error { return a.check(args) },
	}
}

func (a *app) check(sessions []string) error {
	p, err := a.openStudio()
	if err != nil {
		return err
	}
	findings := []check.Finding(p.problems)
	if p.room != nil {
		findings = append(findings, check.Studio(p.room, p.places)...)
		if len(sessions) == 0 {
			sessions = a.sessionNames()
		}
		for _, name := range sessions {
			more, err := a.checkSession(p, name)
			if err != nil {
				return err
			}
			findings = append(findings, more...)
		}
	}
	return a.tell(sorted(findings), p, len(sessions))
}

func (a *app) checkSession(p *papers, name string) ([]check.Finding, error) {
	s, places, problems, err := a.readSession(p, name)
	if err != nil {
		return nil, err
	}
	findings := []check.Finding(problems)
	if s != nil && !problems.Errors() {
		findings = append(findings, check.Session(p.room, s, places)...)
	}
	return findings, nil
}

// sorted puts findings in the order of their places, each once: what two
// sessions say of a third that both are like is said once.
func sorted(findings []check.Finding) []check.Finding {
	slices.SortStableFunc(findings, check.Finding.Compare)
	return slices.Compact(findings)
}

// tell gives the findings as the answer; those of severity error make the
// status.
func (a *app) tell(findings []check.Finding, p *papers, sessions int) error {
	if a.json {
		if err := a.answer(append([]check.Finding{}, findings...)); err != nil {
			return err
		}
	} else {
		for _, f := range findings {
			a.printf("%s", excerpted(f.Place, f.Severity, f.Message, f.Hint, p.sources[f.File]))
		}
		a.printf("%s read: %s\n", readFiles(p, sessions), counted(findings))
	}
	if text.Problems(findings).Errors() {
		return silent(cannot)
	}
	return nil
}

// readFiles names what was read. The sessions of a studio with errors are not.
func readFiles(p *papers, sessions int) string {
	if p.room == nil {
		return p.file + " without its sessions"
	}
	return p.file + " and " + plural(sessions, "session")
}

// counted is how many findings there are of each severity.
func counted(findings []check.Finding) string {
	count := map[string]int{}
	for _, f := range findings {
		count[f.Severity]++
	}
	var phrases []string
	for _, kind := range []struct{ severity, thing string }{
		{text.Error, "error"}, {text.Warning, "warning"}, {text.Advice, "piece"},
	} {
		if n := count[kind.severity]; n > 0 {
			phrases = append(phrases, plural(n, kind.thing))
		}
	}
	switch {
	case len(phrases) == 0:
		return "nothing to say against them"
	case count[text.Advice] > 0:
		phrases[len(phrases)-1] += " of advice"
	}
	return strings.Join(phrases, ", ")
}
