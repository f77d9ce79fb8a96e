package main

import (
	"context"
	"errors"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"bayhand/drivers/descriptions"
	"bayhand/model/check"
	"bayhand/model/device"
	"bayhand/model/planner"
	"bayhand/model/session"
	"bayhand/model/studio"
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
		RunE:              func(c *cobra.Command, args []string) error { return a.check(c.Context(), args) },
	}
}

func (a *app) check(ctx context.Context, sessions []string) error {
	p, err := a.openStudio()
	if err != nil {
		return err
	}
	findings := []check.Finding(p.problems)
	if p.room != nil {
		findings = append(findings, check.Studio(p.room, p.places)...)
		findings = append(findings, a.checkDevices(p)...)
		if len(sessions) == 0 {
			sessions = a.sessionNames()
		}
		more, err := a.checkSessions(ctx, p, sessions)
		if err != nil {
			return err
		}
		findings = append(findings, more...)
	}
	return a.tell(sorted(findings), p, len(sessions))
}

// checkDevices looks at the matrices beside the descriptions of their devices.
// What is wrong within a description is told as well.
func (a *app) checkDevices(p *papers) []check.Finding {
	var broken []check.Finding
	described := func(name string) (*device.Description, bool) {
		d, err := a.description(name)
		var problems text.Problems
		if errors.As(err, &problems) {
			broken = append(broken, problems...)
		}
		return d, !errors.Is(err, descriptions.ErrUnknown)
	}
	return append(check.Devices(p.studio, described, p.places), broken...)
}

// checkSessions looks at each session and then at all of them together.
func (a *app) checkSessions(ctx context.Context, p *papers, names []string) ([]check.Finding, error) {
	var findings []check.Finding
	var filed []check.Filed
	for _, name := range names {
		s, places, problems, err := a.readSession(p, name)
		if err != nil {
			return nil, err
		}
		findings = append(findings, problems...)
		if s == nil || problems.Errors() {
			continue
		}
		filed = append(filed, check.Filed{Session: s, Places: places})
		more, err := checkSession(ctx, p, s, places)
		if err != nil {
			return nil, err
		}
		findings = append(findings, more...)
	}
	return append(findings, check.Sessions(filed)...), nil
}

// checkEffort and checkPairs bound the search for what keeps a session from being
// given, so that check stays quick; plan and recall look longer. A search that
// ends early, or in rooms with more pairs is not begun, says nothing.
const (
	checkEffort = 20
	checkPairs  = 500
)

// plannable says whether a room is small enough to plan in while checking.
func plannable(s *studio.Studio) bool {
	pairs := 0
	for _, b := range s.Bays {
		pairs += b.Pairs()
	}
	return pairs <= checkPairs
}

func checkSession(ctx context.Context, p *papers, s *session.Session, places text.Places) ([]check.Finding, error) {
	findings := check.Session(p.room, s, places)
	if text.Problems(findings).Errors() || !plannable(p.studio) {
		return findings, nil
	}
	made, err := planner.Make(ctx, p.room, p.studio.Rest, s, planner.Options{Effort: checkEffort})
	if err != nil {
		return nil, err
	}
	var obstacles []check.Obstacle
	for _, m := range made.Missing {
		obstacles = append(obstacles, check.Obstacle{Want: m.Want, Because: m.Because, Key: m.Key})
	}
	return append(findings, check.NotGiven(s, places, obstacles)...), nil
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
