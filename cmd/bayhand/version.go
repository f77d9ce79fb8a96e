package main

import (
	"runtime/debug"
	"slices"

	"github.com/spf13/cobra"

	"bayhand/recall/words"
)

// version is what the program was built from: a release, or a commit.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "of an unknown version"
	}
	return versionOf(info)
}

func versionOf(info *debug.BuildInfo) string {
	setting := func(key string) string {
		i := slices.IndexFunc(info.Settings, func(s debug.BuildSetting) bool { return s.Key == key })
		if i < 0 {
			return ""
		}
		return info.Settings[i].Value
	}
	text := info.Main.Version
	if text == "" || text == "(devel)" {
		commit := setting("vcs.revision")
		switch changed := setting("vcs.modified") == "true"; {
		case commit == "" && changed:
			text = "built from source and changes"
		case commit == "":
			text = "built from source"
		case changed:
			text = "built from source, commit {commit} and changes"
		default:
			text = "built from source, commit {commit}"
		}
		text = words.Put(text, "commit", commit[:min(len(commit), 12)])
	}
	return text + ", " + info.GoVersion
}

// versionCommand says what --version says, to who types it as a word. The help does not
// list it.
func versionCommand(a *app) *cobra.Command {
	return &cobra.Command{
		Use:        "version",
		SuggestFor: []string{"ver", "about"},
		Short:      "Which version this is, as --version says it",
		Args:       arguments(0, 0),
		Hidden:     true,
		RunE: func(*cobra.Command, []string) error {
			return a.out.say(map[string]string{"version": version()}, "bayhand %s", version())
		},
	}
}
