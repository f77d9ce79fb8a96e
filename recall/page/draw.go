package page

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strconv"

	"bayhand/model/text"
	"bayhand/recall/page/bench"
	"bayhand/recall/words"
)

// Draft is the studio's file for who draws and types it in the page.
type Draft struct {
	File string
	// Load reads it; where there is none yet it gives what one begins with.
	Load func() ([]byte, error)
	// Save writes it where it still is as it was loaded, or is not there yet.
	Save func(was, now []byte) error
}

// drawView is the view in which a studio is drawn and typed, with findings beside it.
type drawView struct {
	frame
	File, Text string
	// Was is the sum of the file as it was read.
	Was      string
	Lines    int
	Findings []shownFinding
	Wrong    bool
	Bays     []bay
	// Unwired are ports that no line of the wiring has; More is true where there are
	// more of them.
	Unwired      []spot
	More         bool
	Modes, Jacks []string
	LineKinds    []string
	// Port, Jack, To, Many and Mode are what stands in the fields.
	Port, Jack, To, Many, Mode string
	// Others are the bays of a large room, of which Show is drawn.
	Others []string
	Show   string
}

// Most is what the text may hold, in bytes.
func (*drawView) Most() int { return longestDraft }

// longestDraft is the most that the text of a studio may hold here, in bytes.
const longestDraft = 1 << 20

// mostUnwired is how many ports that are not wired yet are listed at once.
const mostUnwired = 200

// draftSum tells one state of the file from another.
func draftSum(src []byte) string { return fmt.Sprintf("%x", sha256.Sum256(src)) }

func (h filesHandler) showDraw(w http.ResponseWriter, r *http.Request) {
	if h.page.Draft == nil {
		h.page.missing(w, r)
		return
	}
	src, err := h.page.Draft.Load()
	v := h.drawView(r, readDraft(src))
	v.Was = draftSum(src)
	if err != nil {
		v.Trouble = words.Put("The file cannot be read: {reason}", "reason", err.Error())
	}
	write(w, r, http.StatusOK, "draw.html", v)
}

// drew takes the form: an act on the text, or that it is to be written.
func (h filesHandler) drew(w http.ResponseWriter, r *http.Request) {
	if h.page.Draft == nil {
		h.page.missing(w, r)
		return
	}
	r.Body = http.MaxBytesReader(w, r.Body, 4*longestDraft)
	if err := r.ParseForm(); err != nil {
		code, why := http.StatusBadRequest, words.Put("The form could not be read: {reason}", "reason", err.Error())
		if big := (*http.MaxBytesError)(nil); errors.As(err, &big) {
			code, why = http.StatusRequestEntityTooLarge, fmt.Sprintf("The text is larger than %d KiB, the most that can be sent from here, and nothing was written. Go back in the browser, where it still stands, and copy it into the file with your own editor.", longestDraft>>10)
		}
		formHandler(h).refuse(w, r, code, why)
		return
	}
	if !trusted(r) {
		formHandler(h).refuse(w, r, http.StatusForbidden, "This page is out of date. Reload and try again.")
		return
	}
	d := readDraft([]byte(r.PostForm.Get("text")))
	then, err := d.do(r.PostForm.Get("act"), r.PostForm)
	was := r.PostForm.Get("was")
	if err == nil && r.PostForm.Get("act") == "save" {
		if err = h.saveDraft(was, then); err == nil {
			http.Redirect(w, r, "/files", http.StatusSeeOther)
			return
		}
	}
	v := h.drawView(r, then)
	v.Was = was
	code := http.StatusOK
	if err != nil {
		v.Trouble, code = err.Error(), http.StatusConflict
	}
	write(w, r, code, "draw.html", v)
}

// errDraftChanged is said where the file is not as it was when somebody began to draw.
var errDraftChanged = errors.New("the file was changed since this was begun, and nothing was written; copy what you typed, and begin again")

// saveDraft writes a draft over the file that has the sum was, with its ends of lines.
func (h filesHandler) saveDraft(was string, d studioDraft) error {
	if d.wrong.Errors() {
		return errors.New("the text has errors, and was not written; they stand beside it")
	}
	src, err := h.page.Draft.Load()
	if err != nil {
		return fmt.Errorf("the file cannot be read, and nothing was written: %w", err)
	}
	if draftSum(src) != was {
		return errDraftChanged
	}
	now := d.src
	if bytes.Contains(src, []byte("\r\n")) {
		now = bytes.ReplaceAll(now, []byte("\n"), []byte("\r\n"))
	}
	return h.page.Draft.Save(src, now)
}

func (h filesHandler) drawView(r *http.Request, d studioDraft) *drawView {
	status, _ := h.page.Room.Status(r.Context()) // without it the frame says less
	v := &drawView{frame: h.page.frame(status, "files"), File: h.page.Draft.File, Text: string(d.src)}
	v.Heading, v.Still, v.Unread = "Draw the studio", true, h.page.unread()
	v.Port, v.Jack, v.Many, v.Mode = r.PostFormValue("port"), r.PostFormValue("jack"), r.PostFormValue("many"), r.PostFormValue("mode")
	v.To, v.Show = r.PostFormValue("to"), r.PostFormValue("show")
	v.Lines = max(12, min(40, len(d.src)/40))
	v.Jacks = []string{"bantam", "quarter-inch", "long-frame"}
	v.LineKinds = []string{"pro-line", "home-line", "microphone", "instrument", "headphone", "loudspeaker"}
	for _, m := range bench.Modes {
		v.Modes = append(v.Modes, m.String())
	}
	checked := &filesView{}
	for _, f := range d.findings() {
		one := Finding{Severity: f.Severity, File: v.File, Line: f.Line, Column: f.Column, Message: f.Message, Hint: f.Hint}
		one.Source, one.At = text.Around(d.src, f.Place)
		checked.add(one)
	}
	v.Wrong = checked.Wrong
	for _, file := range checked.Files {
		v.Findings = append(v.Findings, file.Findings...)
	}
	if !v.Wrong {
		v.picture(d)
	}
	return v
}

// picture draws the bays of the draft, with what is behind their jacks; of a large room
// the one that is to be shown.
func (v *drawView) picture(d studioDraft) {
	q := &page{Options: Options{Studio: d.studio}, words: words.In(d.studio)}
	q.sides, q.strips = drawer{q}.stand(), newStrips(d.studio)
	plugs := plugs{faulty: set(d.studio.Faulty), deadNormals: set(d.studio.FaultyNormals)}
	shown := drawing{all: !isLarge(d.studio)}
	if !shown.all {
		for _, b := range d.studio.Bays {
			v.Others = append(v.Others, b.Name)
		}
		if !slices.Contains(v.Others, v.Show) && len(v.Others) > 0 {
			v.Show = v.Others[0]
		}
		shown.names = []string{v.Show}
	}
	v.Bays = slices.DeleteFunc(drawer{q}.bays(plugs, "/draw?jack=", nil, shown), func(b bay) bool { return b.Undrawn })
	for i, port := range d.unwired() {
		if i == mostUnwired {
			v.More = true
			break
		}
		v.Unwired = append(v.Unwired, spot{Name: port.String(), Words: q.words.Point(port)})
	}
}

// hasBay says whether a bay was drawn that wires can go to.
func (v *drawView) HasBay() bool {
	return slices.ContainsFunc(v.Bays, func(b bay) bool { return len(b.Columns) > 0 })
}

// Rows is how tall the field of the text is.
func (v *drawView) Rows() string { return strconv.Itoa(v.Lines) }
