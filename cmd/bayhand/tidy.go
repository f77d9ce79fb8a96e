package main

import (
	"errors"
	"fmt"
	"os"

	"github.com/rogpeppe/go-internal/diff"
	"github.com/spf13/cobra"

	"bayhand/model/text"
	"bayhand/recall/disk"
	"bayhand/recall/words"
)

func tidyCommand(a *app) *cobra.Command {
	var write bool
	c := &cobra.Command{
		Use:        "tidy FILE...",
		SuggestFor: []string{"format"},
		Short:      "Put the keys of files in order, and fold lines into ranges",
		Long: `Show what would change if the keys of a file stood in their usual order, and
neighbouring lines of wiring, ties, normals and connections were folded into
ranges. Comments and blank lines stay with what they stand above; the file says
the same before and after. With --write it is changed, in one go.`,
		Example: "  bayhand tidy studio.yaml\n  bayhand tidy --write sessions/*.yaml",
		Args:    arguments(1, -1),
		RunE:    func(_ *cobra.Command, args []string) error { return runTidy(a, args, write) },
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
func runTidy(a *app, files []string, write bool) error {
	all := []tidied{}
	failed := false
	for _, file := range files {
		one, err := tidyFile(a, file, write)
		if err != nil {
			complainTidy(a.out, file, err)
			failed = true
			continue
		}
		all = append(all, one)
		if !a.out.json {
			printTidied(a.out, one)
		}
	}
	if a.out.json {
		if err := a.out.answer(all); err != nil {
			return err
		}
	}
	if failed {
		return silent(cannot)
	}
	return nil
}

func tidyFile(a *app, file string, write bool) (tidied, error) {
	src, err := named("the file", file, "give files such as studio.yaml or sessions/NAME.yaml")
	if err != nil {
		return tidied{}, err
	}
	to, err := text.Tidy(file, src)
	if err != nil {
		return tidied{}, err
	}
	one := tidied{File: file, Tidy: string(to) == string(src), Diff: string(diff.Diff(file, src, words.Put("{file} (tidy)", "file", file), to))}
	if one.Tidy || !write {
		return one, nil
	}
	one.Written = true
	return one, replaceUnchanged(file, src, to)
}

// replaceUnchanged writes a file that is still as it was read.
func replaceUnchanged(file string, src, to []byte) error {
	return notWritten(file, disk.Replace(file, to, func() error {
		if now, err := os.ReadFile(file); err != nil || string(now) != string(src) {
			return fmt.Errorf("%s was changed meanwhile and is left as it is; try again", file)
		}
		return nil
	}))
}

func complainTidy(out *output, file string, err error) {
	var problems text.Problems
	if errors.As(err, &problems) {
		src, _ := os.ReadFile(file)
		out.report(problems, map[string][]byte{file: src})
		return
	}
	out.complainf("bayhand: %v\n", err)
}

func printTidied(out *output, one tidied) {
	switch {
	case one.Tidy:
		out.printf("%s is tidy\n", one.File)
	case one.Written:
		out.printf("%s is tidy now\n", one.File)
	default:
		out.printf("%s", one.Diff)
	}
}
