package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"github.com/rogpeppe/go-internal/diff"
	"github.com/spf13/cobra"

	"bayhand/model/text"
)

func (a *app) tidyCommand() *cobra.Command {
	var write bool
	c := &cobra.Command{
		Use:   "tidy FILE...",
		Short: "Put the keys of files in order, and fold lines into ranges",
		Long: `Show what would change if the keys of a file stood in their usual order, and
neighbouring lines of wiring, ties, normals and connections were folded into
ranges. Comments and blank lines stay with what they stand above; the file says
the same before and after. With --write it is changed, in one go.`,
		Example: "  bayhand tidy studio.yaml\n  bayhand tidy --write sessions/*.yaml",
		Args:    arguments(1, -1),
		RunE:    func(_ *cobra.Command, args []string) error { return a.tidy(args, write) },
	}
	c.Flags().BoolVar(&write, "write", false, "change the files")
	return c
}

// tidied is a file as a program sees it.
type tidied struct {
	File    string `json:"file"`
	Tidy    bool   `json:"tidy"`    // it was tidy already
	Written bool   `json:"written"` // it was changed
	Diff    string `json:"diff"`
}

// tidy goes through all files, also where one of them cannot be tidied.
func (a *app) tidy(files []string, write bool) error {
	all := []tidied{}
	failed := false
	for _, file := range files {
		one, err := a.tidyFile(file, write)
		if err != nil {
			a.complainTidy(file, err)
			failed = true
			continue
		}
		all = append(all, one)
		if !a.json {
			a.printTidied(one)
		}
	}
	if a.json {
		if err := a.answer(all); err != nil {
			return err
		}
	}
	if failed {
		return silent(cannot)
	}
	return nil
}

func (a *app) tidyFile(file string, write bool) (tidied, error) {
	src, err := os.ReadFile(file)
	if err != nil {
		return tidied{}, wrongUsage("%s", noFile("the file", file, err, "give files such as studio.yaml or sessions/NAME.yaml"))
	}
	to, err := text.Tidy(file, src)
	if err != nil {
		return tidied{}, err
	}
	one := tidied{File: file, Tidy: string(to) == string(src), Diff: string(diff.Diff(file, src, file+" (tidy)", to))}
	if one.Tidy || !write {
		return one, nil
	}
	// Where the name is a link the file behind it is changed, not the link.
	if behind, err := filepath.EvalSymlinks(file); err == nil {
		file = behind
	}
	one.Written = true
	return one, replaceFile(file, to, func() error {
		if now, err := os.ReadFile(file); err != nil || string(now) != string(src) {
			return fmt.Errorf("%s was changed meanwhile and is left as it is; try again", file)
		}
		return nil
	})
}

func (a *app) complainTidy(file string, err error) {
	var problems text.Problems
	if errors.As(err, &problems) {
		src, _ := os.ReadFile(file)
		a.report(problems, map[string][]byte{file: src})
		return
	}
	a.complainf("bayhand: %v\n", err)
}

func (a *app) printTidied(one tidied) {
	switch {
	case one.Tidy:
		a.printf("%s is tidy\n", one.File)
	case one.Written:
		a.printf("%s is tidy now\n", one.File)
	default:
		a.printf("%s", one.Diff)
	}
}
