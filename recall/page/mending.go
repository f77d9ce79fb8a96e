package page

import (
	"errors"
	"net/http"
	"strconv"

	"bayhand/recall/words"
)

// Finding is what is wrong in a file, or worth knowing, at its place.
type Finding struct {
	// Severity is error, warning or advice.
	Severity      string
	File          string
	Line, Column  int
	Message, Hint string
	// Source is the line of the file, or what is shown of a long one, and At the column
	// in it; empty and 0 where there is none.
	Source string
	At     int
}

// Begin lays down a studio where there is none yet.
type Begin struct {
	// File is where it will be.
	File string
	// Lay writes the files of BeginDemo or BeginEmpty. It overwrites nothing.
	Lay func(kind string) error
}

// What a studio can begin with.
const (
	BeginDemo  = "demo"
	BeginEmpty = "empty"
)

// filesView is the view of the files: what is wrong with them, as they are saved.
type filesView struct {
	frame
	Begin *Begin
	Files []checkedFile
	// Read is true where a studio is in force; Wrong where its file has errors.
	Read, Wrong bool
	// Draws is true where the studio can be drawn in the page.
	Draws bool
	Count int
}

type checkedFile struct {
	Name     string
	Findings []shownFinding
}

// shownFinding is a finding with its line parted at the column.
type shownFinding struct {
	Severity, Place, Message, Hint string
	Before, At, After              string
}

// unread says whether no studio was read yet, and it is known why.
func (p *page) unread() bool { return !p.read && (p.Begin != nil || p.Check != nil) }

// ready hands on once a studio was read, and shows the files before.
func (p *page) ready(next http.HandlerFunc) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		if p.unread() {
			http.Redirect(w, r, "/files", http.StatusSeeOther)
			return
		}
		next(w, r)
	}
}

// filesHandler is the view of the files, of what is wrong with them, and of the studio that is drawn.
type filesHandler struct{ page *page }

func (h filesHandler) showFiles(w http.ResponseWriter, r *http.Request) {
	h.files(w, r, "", http.StatusOK)
}

func (h filesHandler) files(w http.ResponseWriter, r *http.Request, trouble string, code int) {
	status, err := h.page.Room.Status(r.Context())
	v := &filesView{frame: h.page.frame(status, "files"), Begin: h.page.Begin, Read: h.page.read, Draws: h.page.Draft != nil}
	v.Heading, v.Trouble, v.Unread = "The files", trouble, h.page.unread()
	if err != nil {
		v.Trouble = words.Put("The room cannot be read: {reason}", "reason", err.Error())
	}
	if h.page.Check != nil {
		for _, f := range h.page.Check() {
			v.add(f)
		}
	}
	write(w, r, code, "files.html", v)
}

func (v *filesView) add(f Finding) {
	v.Count++
	v.Wrong = v.Wrong || f.Severity == "error"
	if last := len(v.Files) - 1; last < 0 || v.Files[last].Name != f.File {
		v.Files = append(v.Files, checkedFile{Name: f.File})
	}
	in := &v.Files[len(v.Files)-1]
	one := shownFinding{Severity: f.Severity, Message: words.Clean(f.Message), Hint: words.Clean(f.Hint)}
	if f.Line > 0 {
		one.Place = words.Put("line {line}, column {column}", "line", strconv.Itoa(f.Line), "column", strconv.Itoa(f.Column))
		one.Before, one.At, one.After = parted(f.Source, f.At)
	}
	in.Findings = append(in.Findings, one)
}

// longestLine is how much of a line is shown on each side of its finding, in
// characters.
const longestLine = 80

// parted is a line before a column, the word there, and what comes after. Columns
// count characters from 1.
func parted(line string, column int) (before, at, after string) {
	all := []rune(line)
	from := max(0, min(column-1, len(all)))
	to := from
	for to < len(all) && !stops(all[to]) {
		to++
	}
	if to == from && to < len(all) {
		to++
	}
	before, after = string(all[max(0, from-longestLine):from]), string(all[to:min(len(all), to+longestLine)])
	if from > longestLine {
		before = "…" + before
	}
	if len(all) > to+longestLine {
		after += "…"
	}
	return before, string(all[from:to]), after
}

func stops(r rune) bool {
	switch r {
	case ' ', '\t', ',', ':', '[', ']', '{', '}', '#':
		return true
	}
	return false
}

// lay writes the files that a studio begins with. Where they go is not for the
// form to say.
func (h filesHandler) lay(kind string) error {
	switch {
	case h.page.Begin == nil:
		return errors.New("there is a studio already, and nothing was written")
	case kind != BeginDemo && kind != BeginEmpty:
		return errors.New("a studio begins with the demo or empty")
	}
	if err := h.page.Begin.Lay(kind); err != nil {
		return err
	}
	h.page.Changes.Tell()
	return nil
}
