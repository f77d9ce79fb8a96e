package main

import (
	"context"

	"bayhand/recall/gate"
	"bayhand/recall/keep"
	"bayhand/recall/page"
)

// shown gives the page the rooms of the house; nil where this host is alone.
func (h *housed) shown() func(context.Context) page.House {
	if h.gate == nil {
		return nil
	}
	return h.known
}

// known is the house as far as this host knows it: the rooms as their hosts told last, the
// lines from one to another, and since when the others are not reached.
func (h *housed) known(ctx context.Context) page.House {
	var all page.House
	view, rooms := h.gate.View(), h.gate.Neighbours()
	if view.Cut != nil {
		all.Cut = view.Cut.Since
	}
	news := map[gate.News]page.News{gate.Dated: page.Dated, gate.Fresh: page.Fresh, gate.Silent: page.Silent}
	for _, host := range h.house.Hosts {
		for _, room := range host.Rooms {
			one := page.HouseRoom{Room: room, Host: host.Name, Here: host.Name == h.host, Page: host.Page, News: news[rooms.News(room)]}
			if e, entered := view.Table.Hosts[host.Name]; entered {
				one.Notes = gate.Unlike(host.Name, e, view.Table.Files)
			}
			for _, a := range view.Announced {
				if a.Room == room {
					one.Session, one.Phase, one.At = a.Session, keep.Phase(a.Phase), a.At
				}
			}
			all.Rooms = append(all.Rooms, one)
		}
	}
	s, _, err := h.studio()
	status, wrong := h.gate.Status(ctx)
	if err != nil || wrong != nil {
		return all // without its lines
	}
	for _, l := range rooms.Lent(s, status) {
		all.Lines = append(all.Lines, page.HouseLine{Name: l.Name, From: shownEnd(l.From), To: shownEnd(l.To)})
	}
	return all
}

func shownEnd(e gate.End) page.HouseEnd {
	return page.HouseEnd{Room: e.Room, Session: e.Session, Uses: e.Uses, Phase: e.Phase}
}
