package main

import (
	"runtime/debug"
	"slices"
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
		text = "built from source"
		if commit := setting("vcs.revision"); commit != "" {
			text += ", commit " + commit[:min(len(commit), 12)]
		}
		if setting("vcs.modified") == "true" {
			text += " and changes"
		}
	}
	return text + ", " + info.GoVersion
}
