// Package install has the files beside the program that a package of the
// operating system lays out: manual pages, completions for shells, units for
// systemd, the system user of the service, and udev's rules for the lines to
// devices. It writes them into a folder, by the paths that they have under /.
//
// A unit is what systemd starts (systemd.unit(5)); an instance is one studio of
// a machine, by the name of its folder in /srv/bayhand.
package install

import (
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"

	"github.com/spf13/cobra"
)

// Hardening is what the units of a service shut away: Everywhere holds for any
// unit, Machine only where the service has a user of its own.
type Hardening struct{ Everywhere, Machine string }

// Files are all files of the package beside the program, by their path under /.
// The page of each command is made of its help, and dated with the version.
func Files(root *cobra.Command, version string, h Hardening) (map[string][]byte, error) {
	files := map[string][]byte{
		"usr/lib/systemd/user/bayhand.service":    []byte(userUnit(h)),
		"usr/lib/systemd/system/bayhand@.service": []byte(machineUnit(h)),
		"usr/lib/sysusers.d/bayhand.conf":         []byte(users),
		"usr/lib/tmpfiles.d/bayhand.conf":         []byte(folders),
		"usr/lib/udev/rules.d/70-bayhand.rules":   []byte(rules),
	}
	if err := completions(root, files); err != nil {
		return nil, err
	}
	for name, page := range manPages(root, version) {
		files["usr/share/man/man1/"+name] = page
	}
	return files, nil
}

// Write lays the files out under a folder, which is made.
func Write(folder string, files map[string][]byte) error {
	for _, name := range slices.Sorted(maps.Keys(files)) {
		path := filepath.Join(folder, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			return fmt.Errorf("a folder for %s: %w", name, err)
		}
		if err := os.WriteFile(path, files[name], 0o644); err != nil {
			return err
		}
	}
	return nil
}
