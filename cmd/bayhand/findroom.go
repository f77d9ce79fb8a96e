package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/adrg/xdg"

	"bayhand/model/house"
	"bayhand/recall/disk"
	"bayhand/recall/gate"
	"bayhand/recall/keep"
	"bayhand/recall/serve"
)

// tokenVariable has a program's token of the host that keeps a room elsewhere.
const tokenVariable = "BAYHAND_TOKEN"

// elsewhere is a room that another host keeps.
type elsewhere struct{ room, host, page string }

// find has the commands that follow speak to the host that keeps a room: to a daemon of
// this machine where one does, else to the address of its host's page, by the file of the
// house or, where that has none, by what the host announced in the table.
func (d *door) find(ctx context.Context, room string) error {
	p, err := d.files.open()
	if err != nil {
		return err
	}
	var all []string
	for _, r := range p.Studio.Rooms {
		if all = append(all, r.Name); r.Name == room {
			return d.findHost(ctx, room)
		}
	}
	if len(all) == 0 {
		return wrongUsage("%s has no rooms:, so --room %s means nothing here", d.files.at.Studio, room)
	}
	return wrongUsage("there is no room %s; there are %s", room, strings.Join(all, ", "))
}

func (d *door) findHost(ctx context.Context, room string) error {
	file := filepath.Join(filepath.Dir(d.files.at.Studio), houseFile)
	if _, err := disk.Stat(file); errors.Is(err, fs.ErrNotExist) {
		return nil // one host keeps all rooms
	}
	p, err := d.files.sound()
	if err != nil {
		return err
	}
	read, err := readHouse(&app{out: d.files.out}, file, p.Studio)
	if err != nil {
		return err
	}
	host, is := read.Of(room)
	if !is {
		return wrongUsage("%s has no host that keeps the room %s", file, room)
	}
	here, err := d.stateOf(host.Name)
	if err != nil || here != "" {
		d.stateDir = here
		return err
	}
	at := &elsewhere{room: room, host: host.Name, page: host.Page}
	if at.page == "" {
		at.page = announcedPage(ctx, read, file, room)
	}
	d.elsewhere = at
	return nil
}

// stateOf is the state folder of the daemon on this machine that is a host of the house
// for this studio; empty where there is none.
func (d *door) stateOf(host string) (string, error) {
	own, err := d.statePath()
	if err != nil {
		return "", err
	}
	studio, err := filepath.Abs(d.files.at.Studio)
	if err != nil {
		return "", err
	}
	folders, _ := filepath.Glob(filepath.Join(xdg.StateHome, "bayhand", "*"))
	for _, folder := range append([]string{own}, folders...) {
		e, err := serve.ReadEntry(folder)
		if err == nil && e.Host == host && e.Studio == studio {
			return folder, nil
		}
	}
	return "", nil
}

// announcedPage is the address of a room's page as its host told last; empty where the
// table is not reached or does not have it.
func announcedPage(ctx context.Context, read house.House, file, room string) string {
	if len(read.Servers) == 0 {
		return ""
	}
	table, err := serversOf(read, file, gate.Known{})
	if err != nil {
		return ""
	}
	defer table.Close()
	view, err := table.View(ctx)
	if err != nil {
		return ""
	}
	for _, a := range view.Announced {
		if a.Room == room {
			return a.Page
		}
	}
	return ""
}

// client speaks to the host that keeps the room. Its token is one of that host's own.
func (e *elsewhere) client() (*serve.Client, error) {
	token := os.Getenv(tokenVariable)
	switch {
	case e.page == "":
		return nil, fmt.Errorf("room %s is kept by host %s, and neither the house file nor the table has the address of its page; ask at that host", e.room, e.host)
	case token == "":
		return nil, fmt.Errorf("room %s is kept by host %s: %s\n  use its page; or, to act from here, set %s to a token from the access.json of that host", e.room, e.host, e.page, tokenVariable)
	}
	c := serve.NewClient(e.page, token)
	c.Who = whoAsks()
	return c, nil
}

// unlike is for what needs the state folder of a room that is kept here.
func (e *elsewhere) unlike() error {
	at := e.page
	if at == "" {
		at = "its own machine"
	}
	return fmt.Errorf("room %s is kept by host %s; this is done there: %s", e.room, e.host, at)
}

// there lets use speak to the host that keeps the room.
func (e *elsewhere) there(use func(keep.Room) error) error {
	client, err := e.client()
	if err != nil {
		return err
	}
	defer client.Close()
	return use(client)
}
