//go:build !windows

package files

import "github.com/google/renameio/v2"

// Replace writes a file in one go, so that an editor or a backup never sees
// half of it. One that is there keeps its permissions. Still may call it off at
// the last moment; nil for no doubt.
func Replace(file string, content []byte, still func() error) error {
	made, err := renameio.NewPendingFile(file, renameio.WithPermissions(0o644), renameio.WithExistingPermissions())
	if err != nil {
		return err
	}
	defer func() { _ = made.Cleanup() }() // nothing is left of it once it is in its place
	if _, err := made.Write(content); err != nil {
		return err
	}
	if err := made.Sync(); err != nil {
		return err
	}
	if still != nil {
		if err := still(); err != nil {
			return err
		}
	}
	return made.CloseAtomicallyReplace()
}
