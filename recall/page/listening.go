package page

import (
	"context"
	"errors"
	"net/http"
	"net/url"
	"strings"

	"bayhand/recall/web"
	"bayhand/recall/words"
)

// startListening answers when the sound is over: it plays as long as who asked
// waits for it, so that a page that is closed stops it.
func (h listenHandler) startListening(w http.ResponseWriter, r *http.Request) {
	r.Body = http.MaxBytesReader(w, r.Body, longest)
	refuse := func(code int, why string) {
		if byScript(r) {
			plainText(w, code, why)
			return
		}
		h.listenPage(w, r, why, code)
	}
	switch err := r.ParseForm(); {
	case h.page.Ears == nil:
		refuse(http.StatusConflict, "There is no sound device that could be listened with.")
		return
	case err != nil:
		refuse(http.StatusBadRequest, words.Put("The form could not be read: {reason}", "reason", err.Error()))
		return
	case !trusted(r):
		refuse(http.StatusForbidden, "This page is out of date. Reload and try again.")
		return
	case r.PostForm.Get("ready") != "yes":
		refuse(http.StatusBadRequest, "No sound yet: say first that loudspeakers are down and headphones off the ears.")
		return
	}
	web.Unhurried(w)
	err := h.listenNow(r)
	web.BoundWriting(w)
	switch {
	case errors.Is(err, errSounding):
		refuse(http.StatusConflict, words.Put("Not begun: {reason}.", "reason", err.Error()))
	case byScript(r):
		w.WriteHeader(http.StatusNoContent) // the view says what became of it
	default:
		http.Redirect(w, r, "/listen", http.StatusSeeOther)
	}
}

func (h listenHandler) listenNow(r *http.Request) error {
	status, err := h.page.Room.Status(r.Context())
	if err != nil {
		h.page.Ears.ended(nil, err)
		return err
	}
	l, _, err := h.page.Ears.planOf(r.Context(), status)
	if err != nil {
		h.page.Ears.ended(nil, err)
		return err
	}
	return h.page.Ears.listen(r.Context(), l)
}

// sentence begins with a capital letter.
func sentence(text string) string {
	letters := []rune(text)
	return strings.ToUpper(string(letters[:1])) + string(letters[1:])
}

// silence stops the sound, or lets go of what was found.
func (h listenHandler) silence(form url.Values) (func(context.Context) error, error) {
	if h.page.Ears == nil {
		return nil, errors.New("the room cannot be listened to here")
	}
	return func(context.Context) error {
		if form.Get("do") == "silence" {
			h.page.Ears.silence()
			return nil
		}
		h.page.Ears.forgotten()
		return nil
	}, nil
}
