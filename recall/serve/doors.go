package serve

import (
	"errors"

	"bayhand/recall/web"
)

// doors are what the page lets screens in and out by; here is the screen that asks.
type doors struct {
	s    *Server
	here string
}

var errHere = errors.New("nobody else can reach this daemon: it listens on this machine only; start it with --http and an address of the network")

func (d doors) Closed() string {
	if d.s.hosts.loopback {
		return errHere.Error()
	}
	return ""
}

func (d doors) Invite(role, who string) (web.Invitation, error) {
	if d.s.hosts.loopback {
		return web.Invitation{}, errHere
	}
	q := InviteRequest{Who: who}
	if err := q.Role.UnmarshalText([]byte(role)); err != nil {
		return web.Invitation{}, err
	}
	return shownInvitation(d.s.Invite(q)), nil
}

func (d doors) Open() []web.Invitation {
	var all []web.Invitation
	for _, one := range d.s.invitations.elsewhere() {
		all = append(all, shownInvitation(one))
	}
	return all
}

func (d doors) Screens() []web.Screen {
	var all []web.Screen
	for _, s := range d.s.screens.list() {
		all = append(all, web.Screen{ID: s.ID, Role: s.Role.String(), Who: s.Who, Since: s.Since, Seen: s.Seen, Here: s.ID == d.here})
	}
	return all
}

func (d doors) LetOut(id string) error {
	if id == "" {
		return errors.New("no screen is named")
	}
	n, err := d.s.screens.revoke(id)
	if err == nil && n == 0 {
		return errors.New("no such screen is let in any more")
	}
	return err
}

func shownInvitation(i Invitation) web.Invitation {
	return web.Invitation{Code: i.Code, Role: i.Role.String(), Who: i.Who, Address: i.Address, Until: i.Until}
}
