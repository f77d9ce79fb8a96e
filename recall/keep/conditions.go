package keep

import (
	"slices"
	"time"
)

// Condition is what is declared of a kind of problem, beside what is said when it
// is there.
type Condition struct {
	Code string
	// Delay is how long it must have been so before anybody is troubled with it:
	// a device restarts, and an editor saves, in less.
	Delay time.Duration
	// DependsOn are the codes of problems that it follows from. While one of them
	// is there, mending that comes first, and this is not worth a word.
	DependsOn []string
}

// Conditions are those of the keeper itself. What others find has no delay and
// follows from nothing.
var Conditions = []Condition{
	{Code: "contention"},
	{Code: "feedback"},
	{Code: "journal"},
	{Code: "planning", Delay: time.Second},
	{Code: "files-late"},
	{Code: "files-newer"},
	{Code: "studio-file", Delay: 3 * time.Second},
	{Code: "session-file", Delay: 3 * time.Second, DependsOn: []string{"studio-file"}},
	{Code: "session-unread", Delay: 3 * time.Second, DependsOn: []string{"studio-file", "session-file"}},
	{Code: "no-answer", Delay: 5 * time.Second},
	{Code: "mute-unknown"},
	{Code: "another-device"},
	{Code: "refused"},
	{Code: "differs", DependsOn: []string{"no-answer"}},
	{Code: "unsteady", DependsOn: []string{"no-answer"}},
	{Code: "other-driver", DependsOn: []string{"no-answer"}},
	{Code: "split", DependsOn: []string{"no-answer"}},
	{Code: "drift", DependsOn: []string{"no-answer", "unsteady", "other-driver"}},
	{Code: "takes-most", DependsOn: []string{"studio-file", "session-file"}},
	{Code: "plan", DependsOn: []string{"studio-file"}},
	{Code: "not-given", DependsOn: []string{"studio-file", "session-file"}},
	{Code: "room-not-given", DependsOn: []string{"studio-file", "session-file"}},
	{Code: "cords-short"},
	{Code: "worn-cord"},
	{Code: "listening", Delay: 3 * time.Minute, DependsOn: []string{"no-answer"}},
	{Code: "keep-patch", Delay: 3 * time.Second, DependsOn: []string{"session-file"}},
	{Code: "hushed"},
	{Code: "bay-assumed"},
	{Code: "bay-asked"},
	{Code: "unknown-place", DependsOn: []string{"studio-file"}},
}

// ConditionOf is what is declared of a code.
func ConditionOf(code string) Condition {
	if i := slices.IndexFunc(Conditions, func(c Condition) bool { return c.Code == code }); i >= 0 {
		return Conditions[i]
	}
	return Condition{Code: code}
}

// Worth are the problems that somebody should be troubled with at a time: those
// that have been there for long enough, and follow from no other.
func Worth(problems []Problem, now time.Time) []Problem {
	due := slices.DeleteFunc(slices.Clone(problems), func(p Problem) bool {
		wait := now.Sub(p.Since)
		return wait >= 0 && wait < ConditionOf(p.Code).Delay
	})
	return slices.DeleteFunc(slices.Clone(due), func(p Problem) bool {
		return slices.ContainsFunc(ConditionOf(p.Code).DependsOn, func(code string) bool {
			return slices.ContainsFunc(due, func(q Problem) bool { return q.Code == code })
		})
	})
}
