package files

import (
	"context"
	"errors"
	"maps"
	"slices"

	"bayhand/drivers/descriptions"
	"bayhand/model/check"
	"bayhand/model/device"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/model/text"
)

// Checked is everything that is to be said about a studio's files.
type Checked struct {
	Findings []check.Finding // sorted by place, each once
	// Accepted is how many more there are that somebody has looked at.
	Accepted int
	// Sources are the texts of all files that were read, by the names that findings
	// use.
	Sources map[string][]byte
	// Whole is false where the studio has errors: its sessions were not read then.
	Whole bool
	// Sessions is how many were asked for.
	Sessions int
}

// Depth is how much a check looks for.
type Depth int

// The depths of a check.
const (
	Shallow Depth = iota + 1 // nothing that takes a plan to see
	Deep                     // also what keeps a session from being given
)

// Check says everything that is wrong with the studio's file and the sessions that
// are named; all of them for nil. The error is an Unread, or the context's.
func (l *Library) Check(ctx context.Context, names []string, depth Depth) (Checked, error) {
	read, err := l.Studio()
	if err != nil {
		return Checked{}, err
	}
	entries, _ := l.entries() // why not is in Outdated
	every := names == nil
	if every {
		names = sessionsAmong(entries)
	}
	c := Checked{Findings: slices.Concat(read.Problems, l.Outdated()), Sources: map[string][]byte{read.File: read.Source}, Sessions: len(names)}
	if read.Room != nil {
		c.Whole = true
		kept, err := l.checkSessions(ctx, &c, read, names, every, depth)
		if err != nil {
			return Checked{}, err
		}
		c.Findings = append(c.Findings, check.Studio(read.Room, read.Places, kept...)...)
		c.Findings = append(c.Findings, l.place.Devices(read)...)
		c.Findings = append(c.Findings, l.place.ignored(entries)...)
	}
	c.sort()
	if read.Room != nil {
		c.accept(read, every && depth == Deep)
	}
	return c, nil
}

// sort puts findings in order. What two sessions say of a third that both are like is
// said once.
func (c *Checked) sort() {
	slices.SortStableFunc(c.Findings, check.Finding.Compare)
	c.Findings = slices.Compact(c.Findings)
}

// accept counts what somebody has looked at. That an acceptance meets nothing can be
// said where everything was looked for.
func (c *Checked) accept(read *Studio, everything bool) {
	all := c.Findings
	c.Findings, c.Accepted = check.Accept(all, read.Studio.Accepted)
	if everything && !text.Problems(all).Errors() {
		c.Findings = append(c.Findings, check.Unmet(all, read.Studio.Accepted, read.Places)...)
		c.sort()
	}
}

// Devices looks at the matrices beside the descriptions of their devices. What is
// wrong within a description is told as well.
func (p Place) Devices(read *Studio) []check.Finding {
	var broken []check.Finding
	described := func(name string) (*device.Description, bool) {
		d, err := p.Description(name)
		var problems text.Problems
		if errors.As(err, &problems) {
			broken = append(broken, problems...)
		}
		return d, !errors.Is(err, descriptions.ErrUnknown)
	}
	return append(check.Devices(read.Studio, described, read.Places), broken...)
}

// checkSessions looks at each session and then at all of them together. Where every
// one in the folder is looked at, one that cannot be read is a finding. It returns the
// patches that they keep.
func (l *Library) checkSessions(ctx context.Context, c *Checked, read *Studio, names []string, every bool, depth Depth) ([]patch.Patch, error) {
	var filed []check.Filed
	var kept []patch.Patch
	unwired := 0
	err := l.Each(read, names, func(name string, s *Session, err error) error {
		switch {
		case ctx.Err() != nil:
			return ctx.Err()
		case err != nil && every:
			c.Findings = append(c.Findings, l.place.unreadable(name, err)...)
			return nil
		case err != nil:
			return err
		}
		maps.Copy(c.Sources, s.Sources)
		c.Findings = append(c.Findings, s.Problems...)
		if !s.Sound() {
			return nil
		}
		filed = append(filed, check.Filed{Session: s.Session, Places: s.Places})
		if s.Session.Patch != nil {
			kept = append(kept, *s.Session.Patch)
		}
		more, obstacles, err := checkSession(ctx, read, s, depth)
		c.Findings = append(c.Findings, more...)
		switch {
		case len(obstacles) == 0:
		case check.Unwired(read.Studio):
			unwired++
		default:
			c.Findings = append(c.Findings, check.NotGiven(s.Session, s.Places, obstacles)...)
		}
		return err
	})
	if unwired > 0 {
		c.Findings = append(c.Findings, check.NothingWired(read.Places, unwired))
	}
	c.Findings = append(c.Findings, check.Sessions(filed)...)
	return kept, err
}

// checkSession is what is to be said of a session, and what keeps it from being given.
func checkSession(ctx context.Context, read *Studio, s *Session, depth Depth) ([]check.Finding, []check.Obstacle, error) {
	findings := s.findings()
	if depth != Deep || text.Problems(findings).Errors() || !plannable(read.Studio) {
		return findings, nil, nil
	}
	obstacles, err := obstaclesOf(ctx, read, s.Session)
	return findings, obstacles, err
}

// checkEffort and checkPairs bound the search for what keeps a session from being
// given, so that a check stays quick; a plan looks longer. A search that ends
// early, or in rooms with more pairs is not begun, says nothing.
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

// obstaclesOf are what keeps a session from being given from the rest patch.
func obstaclesOf(ctx context.Context, read *Studio, s *session.Session) ([]check.Obstacle, error) {
	made, err := planner.Target(ctx, plan.Request{Studio: read.Studio, From: read.Studio.Rest, Session: s, Effort: checkEffort})
	if err != nil {
		return nil, err
	}
	var obstacles []check.Obstacle
	for _, m := range plan.Merged(made.Missing) {
		obstacles = append(obstacles, check.Obstacle{Want: m.Want, Because: m.Because, Key: m.Key})
	}
	return obstacles, nil
}
