package files

import (
	"errors"
	"io/fs"
	"path/filepath"
	"strings"

	"bayhand/model/check"
	"bayhand/model/phrase"
	"bayhand/model/text"
	"bayhand/recall/disk"
	"bayhand/recall/keep"
)

// ignored are those of the files in the folder of the sessions that are never read, and
// look as if they were.
func (p Place) ignored(entries []string) []check.Finding {
	var all []check.Finding
	say := func(file, message, hint string) {
		all = append(all, finding("file-ignored", text.Warning, filepath.Join(p.Folder(), file), message, hint))
	}
	for _, file := range entries {
		kind := filepath.Ext(file)
		bare := strings.TrimSuffix(file, kind)
		switch {
		case strings.HasPrefix(file, disk.CopyPrefix):
			say(file, phrase.Put("writing {file} broke off: this is what was in it before", "file", strings.TrimPrefix(file, disk.CopyPrefix)), "compare the two, and take this one away")
		case hidden(file):
		case bare == keep.RestName && isText(kind):
			say(file, phrase.Put("this file is not read: {name} is the room between sessions", "name", keep.RestName), "write what it needs under rest: in the studio's file, or give the session another name")
		case kind != Ending && isText(kind):
			say(file, phrase.Put("this file is not read: sessions are files that end in {ending}", "ending", Ending), phrase.Put("call it {file}", "file", bare+Ending))
		}
	}
	return all
}

// isText says whether a name ends as those of texts in YAML do, in any letters.
func isText(kind string) bool {
	return strings.EqualFold(kind, Ending) || strings.EqualFold(kind, ".yml")
}

// unreadable is what is to be said of a file in the folder that is no session that can
// be read; none for one that went away just now.
func (p Place) unreadable(name string, err error) []check.Finding {
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	severity := text.Error
	if errors.Is(err, disk.ErrIrregular) {
		severity = text.Warning
	}
	return []check.Finding{finding(unreadableCode, severity, p.Session(name), phrase.Put("this session cannot be read: {reason}", "reason", Bare(err).Error()), "see what it is, and whether it may be read")}
}

// unreadableCode is the code of a session's file that was never read.
const unreadableCode = "file-unreadable"

// Unreadable says whether a finding is of a file that cannot be read just now.
func Unreadable(f check.Finding) bool { return f.Code == unreadableCode || f.Code == outdatedCode }

func finding(code, severity, file, message, hint string) check.Finding {
	return check.Finding{Code: code, Severity: severity, Place: text.Place{File: file}, Message: message, Hint: hint}
}
