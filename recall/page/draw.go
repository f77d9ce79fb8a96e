package page

import (
	"errors"
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
	File, Text, Was string
	Lines           int
	Findings        []shownFinding
	Wrong           bool
	Bays            []bay
	Unwired         []spot
	Modes, Jacks    []string
	LineKinds       []string
	// Port, Jack, Many and Mode are what stands in the fields.
	Port, Jack, Many, Mode string
	Saved                  bool
}

// longestDraft is the most that the text of a studio may hold here, in bytes.
const longestDraft = 48 << 10

func (p *page) showDraw(w http.ResponseWriter, r *http.Request) {
	if p.Draft == nil {
		p.missing(w, r)
		return
	}
	src, err := p.Draft.Load()
	v := p.drawView(r, readDraft(src))
	v.Was = string(src)
	if err != nil {
		v.Trouble = "The file cannot be read: " + err.Error()
	}
	write(w, r, http.StatusOK, "draw.html", v)
}

// drew takes the form: an act on the text, or that it is to be written.
func (p *page) drew(w http.ResponseWriter, r *http.Request) {
	if p.Draft == nil {
		p.missing(w, r)
		return
	}
	r.Body = http.MaxBytesReader(w, r.Body, 4*longestDraft)
	if err := r.ParseForm(); err != nil {
		p.refuse(w, r, http.StatusBadRequest, "The form could not be read: "+err.Error())
		return
	}
	if !trusted(r) {
		p.refuse(w, r, http.StatusForbidden, "This page is out of date. Reload and try again.")
		return
	}
	d := readDraft([]byte(r.PostForm.Get("text")))
	then, err := d.do(r.PostForm.Get("act"), r.PostForm)
	was := string(readDraft([]byte(r.PostForm.Get("was"))).src)
	if err == nil && r.PostForm.Get("act") == "save" {
		if err = p.saveDraft(was, then); err == nil {
			http.Redirect(w, r, "/files", http.StatusSeeOther)
			return
		}
	}
	v := p.drawView(r, then)
	v.Was = was
	code := http.StatusOK
	if err != nil {
		v.Trouble, code = err.Error(), http.StatusConflict
	}
	write(w, r, code, "draw.html", v)
}

func (p *page) saveDraft(was string, d studioDraft) error {
	if d.wrong.Errors() {
		return errors.New("the text has errors, and was not written; they stand beside it")
	}
	return p.Draft.Save([]byte(was), d.src)
}

func (p *page) drawView(r *http.Request, d studioDraft) *drawView {
	status, _ := p.Room.Status(r.Context()) // without it the frame says less
	v := &drawView{frame: p.frame(status, "files"), File: p.Draft.File, Text: string(d.src)}
	v.Heading, v.Still, v.Unread = "Draw the studio", true, p.unread()
	v.Port, v.Jack, v.Many, v.Mode = r.PostFormValue("port"), r.PostFormValue("jack"), r.PostFormValue("many"), r.PostFormValue("mode")
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
	if !v.Wrong && !isLarge(d.studio) {
		v.picture(d)
	}
	return v
}

// picture draws the bays of the draft, with what is behind their jacks.
func (v *drawView) picture(d studioDraft) {
	q := &page{Options: Options{Studio: d.studio}, words: words.In(d.studio)}
	q.sides, q.strips = q.stand(), newStrips(d.studio)
	plugs := plugs{faulty: set(d.studio.Faulty), deadNormals: set(d.studio.FaultyNormals)}
	v.Bays = q.bays(plugs, "/draw?jack=", nil, drawing{all: true})
	for _, port := range d.unwired() {
		v.Unwired = append(v.Unwired, spot{Name: port.String(), Words: q.words.Point(port)})
	}
}

// hasBay says whether a bay was drawn that wires can go to.
func (v *drawView) HasBay() bool {
	return slices.ContainsFunc(v.Bays, func(b bay) bool { return len(b.Columns) > 0 })
}

// Rows is how tall the field of the text is.
func (v *drawView) Rows() string { return strconv.Itoa(v.Lines) }
