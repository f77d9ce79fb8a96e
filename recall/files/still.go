package files

import (
	"time"

	"bayhand/recall/disk"
)

// StillFor is how long a file of people has stood still before it counts as saved whole: as
// long as what is watched does after it has become smaller.
const StillFor = 2 * time.Second

// Unsettled is for how long the studio's file and those of some sessions have not stood still
// yet; 0 where they have.
func (p Place) Unsettled(sessions []string) time.Duration {
	files := []string{p.Studio}
	for _, name := range sessions {
		files = append(files, p.Session(name))
	}
	var wait time.Duration
	for _, file := range files {
		if info, err := disk.Stat(file); err == nil {
			if age := time.Since(info.ModTime()); age >= 0 {
				wait = max(wait, StillFor-age)
			}
		}
	}
	return wait
}
