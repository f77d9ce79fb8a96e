package main

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
)

// system is what the program is built for.
type system struct {
	os, arch string
	// settings of Go's build for it.
	settings []string
	// packaged says that packages of the system are made.
	packaged bool
}

var systems = []system{
	{"linux", "amd64", []string{"GOAMD64=v1"}, true},
	{"linux", "arm64", nil, true},
	{"linux", "armv6", []string{"GOARM=6"}, true},
	{"darwin", "amd64", []string{"GOAMD64=v1"}, false},
	{"darwin", "arm64", nil, false},
	{"windows", "amd64", []string{"GOAMD64=v1"}, false},
	{"windows", "arm64", nil, false},
}

// goarch is the architecture as Go names it.
func (s system) goarch() string { return strings.TrimSuffix(s.arch, "v6") }

func (s system) program() string {
	if s.os == "windows" {
		return "bayhand.exe"
	}
	return "bayhand"
}

// build makes all of it, a line a thing that is made.
func build(ctx context.Context, from *source, systems []system, out string) error {
	work, err := os.MkdirTemp("", "bayhand-release-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(work)
	beside, err := besideProgram(ctx, work)
	if err != nil {
		return err
	}
	for _, s := range systems {
		name := fmt.Sprintf("bayhand_%s_%s_%s", strings.ReplaceAll(from.version, "~", "-"), s.os, s.arch)
		fmt.Println(name)
		program := filepath.Join(work, name, s.program())
		if err := compile(ctx, s, program); err != nil {
			return err
		}
		// Each system has modules that the others have not.
		notices, err := collectNotices(ctx, program)
		if err != nil {
			return err
		}
		if err := billOfMaterials(ctx, from, program, filepath.Join(out, name+".cdx.json")); err != nil {
			return err
		}
		if err := archive(from, s, program, beside, notices, filepath.Join(out, name)); err != nil {
			return err
		}
		if !s.packaged {
			continue
		}
		if err := packages(ctx, from, s, program, beside, notices, work, out); err != nil {
			return err
		}
	}
	return sums(out)
}

// compile builds the program for a system, without C and without the paths of
// this machine.
func compile(ctx context.Context, s system, program string) error {
	c := exec.CommandContext(ctx, "go", "build", "-trimpath", "-buildvcs=true", "-ldflags=-s -w", "-o", program, "./cmd/bayhand")
	c.Env = append(os.Environ(), "CGO_ENABLED=0", "GOOS="+s.os, "GOARCH="+s.goarch(), "GOFLAGS=")
	c.Env = append(c.Env, s.settings...)
	c.Stdout, c.Stderr = os.Stdout, os.Stderr
	if err := c.Run(); err != nil {
		return fmt.Errorf("%s/%s: %w", s.os, s.arch, err)
	}
	return nil
}

// besideProgram has the program write the files that a package installs beside it,
// and gives their folder.
func besideProgram(ctx context.Context, work string) (string, error) {
	program := filepath.Join(work, "here", "bayhand")
	here := system{os: runtime.GOOS, arch: runtime.GOARCH, settings: nil}
	if err := compile(ctx, here, program); err != nil {
		return "", err
	}
	folder := filepath.Join(work, "beside")
	if out, err := exec.CommandContext(ctx, program, "service", "files", folder).CombinedOutput(); err != nil {
		return "", fmt.Errorf("the files beside the program: %w: %s", err, out)
	}
	return folder, nil
}
