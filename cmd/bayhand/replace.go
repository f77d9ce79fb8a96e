//go:build !windows

package main

import "github.com/google/renameio/v2"

// replaceFile writes a file in one go, so that an editor or a backup never sees
// half of it. One that is there keeps its permissions.
func replaceFile(file string, content []byte) error {
	return renameio.WriteFile(file, content, 0o644, renameio.WithExistingPermissions())
}
