package page

import (
	"crypto/subtle"
	"net/http"

	"bayhand/recall/keep"
)

// longest is the most that a form may hold, in bytes.
const longest = 4096

// tick takes a form of the page, from a browser without the script, and shows the
// page again.
func (p *page) tick(w http.ResponseWriter, r *http.Request) {
	r.Body = http.MaxBytesReader(w, r.Body, longest)
	if err := r.ParseForm(); err != nil {
		p.refuse(w, r, http.StatusBadRequest, "The form could not be read: "+err.Error())
		return
	}
	if !trusted(r) {
		p.refuse(w, r, http.StatusForbidden, "This form is not from the page as it stands now. Look again, and tick again.")
		return
	}
	id := r.PostForm.Get("id")
	if id == "" {
		p.refuse(w, r, http.StatusBadRequest, "The form names no step. Look again, and tick again.")
		return
	}
	if _, err := p.Room.Tick(r.Context(), keep.Tick{IDs: []string{id}, Not: r.PostForm.Get("not") != ""}); err != nil {
		p.refuse(w, r, http.StatusConflict, "Step "+id+": "+err.Error())
		return
	}
	http.Redirect(w, r, "/#next", http.StatusSeeOther)
}

// trusted says whether the form carries the token of the page that it was on. No
// token at all is no permission.
func trusted(r *http.Request) bool {
	token := r.Header.Get(tokenHeader)
	return token != "" && subtle.ConstantTimeCompare([]byte(r.PostForm.Get("token")), []byte(token)) == 1
}

// refuse shows the room as it is, with what went wrong above it.
func (p *page) refuse(w http.ResponseWriter, r *http.Request, code int, trouble string) {
	v := view{}
	if status, err := p.Room.Status(r.Context()); err == nil {
		v = p.view(status)
	}
	v.Trouble = trouble
	write(w, r, code, v)
}
