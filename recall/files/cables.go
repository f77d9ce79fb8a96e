package files

import (
	"slices"
	"strings"

	"bayhand/model/check"
	"bayhand/model/schedule"
)

// CableFindings are what check finds about the cables of a schedule, less what
// somebody has accepted; never nil. Of one owner's part of it they are those at its
// lines, and at the owner itself; of all where the owner is empty.
func (s *Studio) CableFindings(owner string, of schedule.Schedule) []check.Finding {
	lines := map[string]bool{}
	for _, c := range slices.Concat(of.Cables, of.Loudspeakers) {
		for _, pair := range c.Pairs {
			lines[pair.Key] = true
		}
	}
	found := check.Cables(s.Room, s.Places, func(key string) bool {
		parts := strings.Split(key, ".")
		return owner == "" || lines[key] || len(parts) > 1 && parts[1] == owner
	})
	left, _ := check.Accept(found, s.Studio.Accepted)
	return append([]check.Finding{}, left...)
}
