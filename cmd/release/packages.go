package main

import (
	"context"
	"embed"
	"encoding/json"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"strings"
	"time"
)

// The programs of others that a release is made with, in fixed versions; they are
// run and not built in, so they are not in go.mod.
const (
	packager  = "github.com/goreleaser/nfpm/v2/cmd/nfpm@v2.44.2"
	materials = "github.com/CycloneDX/cyclonedx-gomod/cmd/cyclonedx-gomod@v1.10.0"
)

//go:embed scripts
var scripts embed.FS

// file is one file of a package, as nfpm's configuration has it.
type file struct {
	Source string   `json:"src"`
	Place  string   `json:"dst"`
	Info   fileInfo `json:"file_info"`
}

type fileInfo struct {
	Mode os.FileMode `json:"mode"`
	Time string      `json:"mtime"`
}

// packages makes the .deb and the .rpm of a system.
func packages(ctx context.Context, from *source, s system, program, beside, notices, work, out string) error {
	for _, kind := range []string{"deb", "rpm"} {
		folder := filepath.Join(work, s.arch+"."+kind)
		if err := os.MkdirAll(folder, 0o755); err != nil {
			return err
		}
		config, err := configure(from, s, kind, program, beside, notices, folder)
		if err != nil {
			return err
		}
		c := exec.CommandContext(ctx, "go", "run", packager, "package", "--config", config, "--packager", kind, "--target", out)
		c.Env = append(os.Environ(), fmt.Sprintf("SOURCE_DATE_EPOCH=%d", from.when.Unix()), "GOFLAGS=")
		if text, err := c.CombinedOutput(); err != nil {
			return fmt.Errorf("the %s of %s: %w: %s", kind, s.arch, err, text)
		}
	}
	return nil
}

// configure writes the packager's configuration and the files that it names.
func configure(from *source, s system, kind, program, beside, notices, folder string) (string, error) {
	when := from.when.Format(time.RFC3339)
	files := []file{{program, "/usr/bin/bayhand", fileInfo{0o755, when}}}
	add := func(source, place string) { files = append(files, file{source, place, fileInfo{0o644, when}}) }
	licences := filepath.Join(folder, "copyright")
	if err := os.WriteFile(licences, []byte(notices), 0o644); err != nil {
		return "", err
	}
	add(licences, "/usr/share/doc/bayhand/copyright")
	add("README.md", "/usr/share/doc/bayhand/README.md")
	err := filepath.WalkDir(beside, func(at string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		rest, err := filepath.Rel(beside, at)
		add(at, "/"+placeIn(kind, filepath.ToSlash(rest)))
		return err
	})
	if err != nil {
		return "", err
	}
	hooks, err := writeScripts(kind, folder)
	if err != nil {
		return "", err
	}
	// The packager reads YAML, of which JSON is a part.
	text, err := json.Marshal(map[string]any{
		"name": "bayhand", "arch": packageArch(s), "platform": "linux",
		"version": from.version, "version_schema": "none", "release": "1",
		"section": "sound", "priority": "optional", "mtime": when,
		"maintainer":  "the bayhand project <bayhand@localhost>",
		"description": "the hand at the patch bay\n" + describes,
		"recommends":  []string{"systemd"},
		"contents":    files, "scripts": hooks,
		"rpm": map[string]any{"buildhost": "localhost"},
	})
	if err != nil {
		return "", err
	}
	config := filepath.Join(folder, "nfpm.yaml")
	return config, os.WriteFile(config, text, 0o644)
}

const describes = `From one description of a studio and a short file for each session it knows what
is heard where, switches programmable routing matrices, and asks for the cords
that still have to be plugged.`

// placeIn is where a kind of package has a file: zsh looks elsewhere where
// packages are .rpm.
func placeIn(kind, place string) string {
	if kind == "rpm" {
		return strings.Replace(place, "zsh/vendor-completions", "zsh/site-functions", 1)
	}
	return place
}

// packageArch is the architecture as nfpm takes it: its arm6 is armhf at
// Debian's and armv6hl at RPM's.
func packageArch(s system) string {
	if s.arch == "armv6" {
		return "arm6"
	}
	return s.arch
}

// writeScripts writes what a package does when it is installed and taken away, and
// gives their paths by nfpm's names.
func writeScripts(kind, folder string) (map[string]string, error) {
	hooks := map[string]string{}
	for hook, name := range map[string]string{"postinstall": "installed", "preremove": "leaving", "postremove": "removed"} {
		text, err := scripts.ReadFile(path.Join("scripts", name+"."+kind))
		if err != nil {
			return nil, err
		}
		hooks[hook] = filepath.Join(folder, name)
		if err := os.WriteFile(hooks[hook], text, 0o755); err != nil {
			return nil, err
		}
	}
	return hooks, nil
}

// billOfMaterials writes what the program was built of, as CycloneDX 1.6.
func billOfMaterials(ctx context.Context, from *source, program, to string) error {
	c := exec.CommandContext(ctx, "go", "run", materials, "bin", "-json", "-noserial", "-notimestamp", "-std", "-version", from.version, "-output", to, program)
	c.Env = append(os.Environ(), "GOFLAGS=")
	if text, err := c.CombinedOutput(); err != nil {
		return fmt.Errorf("the bill of materials of %s: %w: %s", program, err, text)
	}
	return nil
}
