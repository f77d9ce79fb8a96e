package page

import (
	"net/http"
	"net/url"
	"slices"
	"strings"

	"bayhand/model/name"
	"bayhand/recall/words"
)

// asked is what the address of the bay's view asks for beside the room itself.
type asked struct {
	// At is the touched point.
	At name.Point
	// Hand is what somebody enters that nobody planned: plug or move; or if, for what a
	// cord would do. From is its first jack, To its second.
	Hand     string
	From, To name.Point
	// Out asks what it would do if the plug in From were out.
	Out bool
	// Skip are the steps that somebody wants to see later.
	Skip []string
	// Large pictures have room for a finger at every jack.
	Large bool
	// Whole pictures of a large room are drawn without being looked at.
	Whole bool
	// guest may be a port of gear that the studio does not have.
	guest   name.Point
	trouble string
}

// asked reads the address. What it cannot read it leaves out, and says so.
func (p *page) asked(r *http.Request) asked {
	q := r.URL.Query()
	a := asked{Large: q.Get("size") == "large", Whole: q.Has("whole")}
	if skip := q.Get("skip"); skip != "" {
		a.Skip = strings.Split(skip, ",")
	}
	if hand := q.Get("hand"); hand == "plug" || hand == "move" || hand == "if" {
		a.Hand = hand
	}
	for key, into := range map[string]*name.Point{"at": &a.At, "from": &a.From, "to": &a.To} {
		typed := strings.TrimSpace(q.Get(key))
		if typed == "" {
			continue
		}
		point, err := words.Find(p.Studio, typed)
		if err != nil {
			a.trouble = err.Error()
			// A guest's ports stand in no studio's file.
			if point, err := name.Parse(typed); err == nil && key == "at" {
				a.guest = point
			}
			continue
		}
		*into = point
	}
	a.Out = a.Hand == "if" && !a.From.IsZero() && a.To.IsZero() && q.Has("out")
	return a
}

// resolveGuest takes what the studio does not know for a guest's port where the room
// has such a guest now.
func (a *asked) resolveGuest(has func(name.Point) bool) {
	if !a.guest.IsZero() && has(a.guest) {
		a.At, a.trouble = a.guest, ""
	}
}

// String is the address.
func (a asked) String() string {
	q := url.Values{}
	for key, point := range map[string]name.Point{"at": a.At, "from": a.From, "to": a.To} {
		if !point.IsZero() {
			q.Set(key, point.String())
		}
	}
	if a.Hand != "" {
		q.Set("hand", a.Hand)
	}
	if a.Out {
		q.Set("out", "yes")
	}
	if len(a.Skip) > 0 {
		q.Set("skip", strings.Join(a.Skip, ","))
	}
	if a.Large {
		q.Set("size", "large")
	}
	if len(q) == 0 {
		return "/"
	}
	// Slashes and commas may stand in a query as they are (RFC 3986, 3.4).
	return "/?" + strings.NewReplacer("%2F", "/", "%2C", ",").Replace(q.Encode())
}

// calm is the address without anything touched or half entered.
func (a asked) calm() asked { return asked{Skip: a.Skip, Large: a.Large} }

// touch is the address after a point was touched.
func (a asked) touch(p name.Point) asked {
	switch {
	case a.Hand != "" && a.From.IsZero():
		a.From, a.At = p, name.Point{}
	case a.Hand != "":
		a.To, a.At, a.Out = p, name.Point{}, false
	default:
		a.At = p
	}
	return a
}

// touchAny is the address after some jack was touched, less the jack's name.
func (a asked) touchAny() string {
	key := "at"
	switch {
	case a.Hand != "" && a.From.IsZero():
		key, a.At = "from", name.Point{}
	case a.Hand != "":
		key, a.To, a.At, a.Out = "to", name.Point{}, name.Point{}, false
	default:
		a.At = name.Point{}
	}
	if whole := a.String(); whole != "/" {
		return whole + "&" + key + "="
	}
	return "/?" + key + "="
}

// hand is the address for entering something, from a jack on or from the start.
func (a asked) hand(what string, from name.Point) asked {
	a = a.calm()
	a.Hand, a.From = what, from
	return a
}

// out is the address for asking what it would do if a plug were out.
func (a asked) out(from name.Point) asked {
	a = a.hand("if", from)
	a.Out = true
	return a
}

// later is the address with one more step skipped.
func (a asked) later(id string) asked {
	a = a.calm()
	if !slices.Contains(a.Skip, id) {
		a.Skip = append(slices.Clone(a.Skip), id)
	}
	return a
}

// sized is the address with the pictures in the other size.
func (a asked) sized() asked {
	a.Large = !a.Large
	return a
}
