package main

import (
	"context"
	"errors"
	"fmt"
	"os/exec"
	"regexp"
	"strconv"
	"strings"
	"time"
)

// source is the commit that is built.
type source struct {
	// version is that of the tag without its v, or one before any tag.
	version string
	commit  string
	// when it was committed: the time of every file that is written.
	when time.Time
}

// readSource refuses a tree with changes, and a commit without a tag where it is
// not a snapshot: nobody could build the same again.
func readSource(ctx context.Context, snapshot bool) (*source, error) {
	changes, err := git(ctx, "status", "--porcelain")
	if err != nil {
		return nil, err
	}
	if changes != "" {
		return nil, fmt.Errorf("the tree has changes that are not committed:\n%s", changes)
	}
	line, err := git(ctx, "log", "-1", "--format=%H %ct")
	if err != nil {
		return nil, err
	}
	commit, stamp, _ := strings.Cut(line, " ")
	seconds, err := strconv.ParseInt(stamp, 10, 64)
	if err != nil {
		return nil, fmt.Errorf("the time of the commit: %w", err)
	}
	s := &source{commit: commit, when: time.Unix(seconds, 0).UTC()}
	tag, err := git(ctx, "describe", "--tags", "--exact-match", "--match", "v[0-9]*")
	switch {
	case err == nil && tagged.MatchString(tag):
		s.version = strings.TrimPrefix(tag, "v")
	case !snapshot:
		return nil, errors.New("this commit has no tag such as v1.2.3; make one, or build with --snapshot")
	default:
		// It sorts before the first version, in Debian's order and in that of RPM.
		s.version = "0.0.0~" + s.when.Format("20060102150405") + "." + commit[:12]
	}
	return s, nil
}

// tagged is a version of semver.org without what follows a plus.
var tagged = regexp.MustCompile(`^v\d+\.\d+\.\d+(-[0-9A-Za-z.-]+)?$`)

func git(ctx context.Context, args ...string) (string, error) {
	out, err := exec.CommandContext(ctx, "git", args...).Output()
	if err != nil {
		return "", fmt.Errorf("git %s: %w", args[0], err)
	}
	return strings.TrimSpace(string(out)), nil
}
