// Command release builds everything that is published of one version into one
// folder: the program for each system, packages for Linux, what it was built of,
// the licences of all that is in it, and the sums of the files.
//
//	go run ./cmd/release --out dist              from a clean commit with a tag
//	go run ./cmd/release --out dist --snapshot   from any clean commit
//
// The same commit and the same Go give the same bytes, on any machine: nothing
// that is written has another time than that of the commit.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/signal"
	"path/filepath"
	"strings"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := run(ctx, os.Args[1:]); err != nil && !errors.Is(err, flag.ErrHelp) {
		fmt.Fprintln(os.Stderr, "release:", err)
		os.Exit(1)
	}
}

func run(ctx context.Context, args []string) error {
	flags := flag.NewFlagSet("release", flag.ContinueOnError)
	out := flags.String("out", "dist", "the folder of what is built; it must be empty or not there")
	snapshot := flags.Bool("snapshot", false, "build a commit without a tag as well")
	only := flags.String("only", "", "only these systems, such as linux/amd64,windows/amd64")
	if err := flags.Parse(args); err != nil {
		return err
	}
	if flags.NArg() > 0 {
		return fmt.Errorf("%q is not expected; release takes flags only", flags.Arg(0))
	}
	systems, err := chosen(*only)
	if err != nil {
		return err
	}
	if err := emptyFolder(*out); err != nil {
		return err
	}
	source, err := readSource(ctx, *snapshot)
	if err != nil {
		return err
	}
	return build(ctx, source, systems, *out)
}

// chosen are the systems that are named, or all.
func chosen(only string) ([]system, error) {
	if only == "" {
		return systems, nil
	}
	var some []system
	for word := range strings.SplitSeq(only, ",") {
		at := -1
		for i, s := range systems {
			if s.os+"/"+s.arch == word {
				at = i
			}
		}
		if at < 0 {
			return nil, fmt.Errorf("nothing is built for %q; what is: %s", word, all())
		}
		some = append(some, systems[at])
	}
	return some, nil
}

func all() string {
	var words []string
	for _, s := range systems {
		words = append(words, s.os+"/"+s.arch)
	}
	return strings.Join(words, ", ")
}

func emptyFolder(path string) error {
	if left, err := filepath.Glob(filepath.Join(path, "*")); err != nil || len(left) > 0 {
		return errors.Join(err, fmt.Errorf("%s is not empty; name a new folder with --out", path))
	}
	return os.MkdirAll(path, 0o755)
}
