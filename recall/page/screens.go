package page

import (
	"context"
	"errors"
	"net/http"
	"net/url"
	"strings"
	"time"

	"rsc.io/qr"

	"bayhand/recall/web"
	"bayhand/recall/words"
)

// screensView is the view by which phones and other screens are let in and out.
type screensView struct {
	frame
	// Doors is true for who may open them; Closed is why nobody could come in.
	Doors  bool
	Closed string
	Open   []invitation
	In     []letIn
	Roles  []role
}

// invitation is a code with its picture for a camera.
type invitation struct {
	Code, Address, May, Who, Until string
	// Squares is the picture as a path of squares, Side how many it is wide with the
	// four blank ones around it that ISO/IEC 18004 asks for.
	Squares string
	Side    int
}

// letIn is a screen that is let in.
type letIn struct {
	ID, May, Who, Since, Seen string
	// Here is the screen that looks.
	Here bool
}

// role is what a screen may do, in words.
type role struct{ Name, May, For string }

var screenRoles = []role{
	{"tick", "tick steps", "for whoever stands at the bay: sees all, ticks steps, reports plugs and faulty jacks"},
	{"look", "look", "for a screen on the wall: sees all, and changes nothing"},
	{"recall", "recall sessions", "for whoever runs the room: all of that, recalls sessions and lets other screens in"},
}

// screensHandler lets screens in and out.
type screensHandler struct{ page *page }

func mayWords(name string) string {
	for _, r := range screenRoles {
		if r.Name == name {
			return r.May
		}
	}
	return name
}

func (h screensHandler) showScreens(w http.ResponseWriter, r *http.Request) {
	status, err := h.page.Room.Status(r.Context())
	v := &screensView{frame: h.page.frame(status, "screens"), Roles: screenRoles}
	v.Heading = "Screens and phones"
	if err != nil {
		v.Trouble = words.Put("The room cannot be read: {reason}", "reason", err.Error())
	}
	if doors := web.DoorsOf(r.Context()); doors != nil {
		v.Doors = true
		if closed := doors.Closed(); closed != "" {
			v.Closed = sentence(closed) + "."
		}
		for _, one := range doors.Open() {
			v.Open = append(v.Open, h.invitation(one))
		}
		for _, s := range doors.Screens() {
			v.In = append(v.In, letIn{s.ID, mayWords(s.Role), words.Clean(s.Who), h.page.clock(s.Since), h.page.clock(s.Seen), s.Here})
		}
	}
	write(w, r, http.StatusOK, "screens.html", v)
}

func (h screensHandler) invitation(i web.Invitation) invitation {
	one := invitation{Code: i.Code, Address: i.Address, May: mayWords(i.Role), Who: words.Clean(i.Who), Until: i.Until.In(h.page.Zone).Format(time.TimeOnly)}
	if len(i.Code) == 8 {
		one.Code = i.Code[:4] + " " + i.Code[4:]
	}
	if code, err := qr.Encode(i.Address, qr.M); err == nil {
		one.Squares, one.Side = squares(code), code.Size+8
	}
	return one
}

// squares draws the dark squares of a picture, run by run.
func squares(code *qr.Code) string {
	var path strings.Builder
	for y := range code.Size {
		for x := 0; x < code.Size; x++ {
			from := x
			for x < code.Size && code.Black(x, y) {
				x++
			}
			if n := x - from; n > 0 {
				path.WriteString("M" + number(from+4) + " " + number(y+4) + "h" + number(n) + "v1h-" + number(n) + "z")
			}
		}
	}
	return path.String()
}

func number(n int) string { return millimetres(float64(n)) }

// doorsFrom takes the form that lets a screen in, or out.
func (h screensHandler) doorsFrom(form url.Values) (func(context.Context) error, error) {
	do := form.Get("do")
	return func(ctx context.Context) error {
		doors := web.DoorsOf(ctx)
		if doors == nil {
			return errors.New("this screen lets nobody in or out")
		}
		if do == "let-out" {
			return doors.LetOut(form.Get("id"))
		}
		_, err := doors.Invite(form.Get("role"), strings.TrimSpace(form.Get("who")))
		return err
	}, nil
}
