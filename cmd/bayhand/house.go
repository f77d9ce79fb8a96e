package main

import (
	"context"
	"errors"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"bayhand/model/house"
	"bayhand/model/session"
	"bayhand/recall/border"
	"bayhand/recall/gate"
	"bayhand/recall/keep"
	"bayhand/recall/words"
)

// houseFile is the usual name of the file of a house, beside the studio's.
const houseFile = "house.yaml"

// housing is what the commands about a house need.
type housing struct {
	a    *app
	file string
}

func houseCommand(a *app) *cobra.Command {
	h := &housing{a: a}
	c := &cobra.Command{
		Use:   "house [ROOM]",
		Short: "Rooms of several hosts, and the lines that they share",
		Long: `Read the file of a house and the table in its servers: each room with its host,
its session and its page, and who holds which of the lines that rooms share. A
room by its name is looked for alone.`,
		Example: "  bayhand house --house house.yaml\n  bayhand house mix",
		Args:    arguments(0, 1),
		RunE:    func(c *cobra.Command, args []string) error { return h.show(c.Context(), args) },
	}
	c.PersistentFlags().StringVar(&h.file, "house", houseFile, "the `FILE` of the house, with its rooms, hosts and lines")
	c.AddCommand(h.takeAwayCommand(), h.adoptCommand(), h.forgetCommand())
	return c
}

func (h *housing) takeAwayCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "take-away LINE",
		Short: "Take a shared line away from the room that holds it",
		Long: `Take a shared line away from the room that holds it, such as one whose host is
gone for good. See first that its cord is out: two rooms on one line are heard
in both. Who took it away stands in the table from then on.`,
		Example: "  bayhand house take-away tape",
		Args:    arguments(1, 1),
		RunE:    func(c *cobra.Command, args []string) error { return h.takeAway(c.Context(), args[0]) },
	}
}

func (h *housing) adoptCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "adopt",
		Short: "Have the hosts go by the studio file and the house file here",
		Long: `Have the hosts go by the studio file and the house file here. Hosts with others
claim no shared line until they have these too, and drive no matrix over a network
that these give to another host.`,
		Args: arguments(0, 0),
		RunE: func(c *cobra.Command, _ []string) error { return h.adopt(c.Context()) },
	}
}

func (h *housing) forgetCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "forget",
		Short: "Forget on this host which table it had claims in",
		Long: `Forget on this host which table it had claims in, after the servers were set up
anew. End the daemon first, on every host; each room claims again what its cords
are in.`,
		Args: arguments(0, 0),
		RunE: func(*cobra.Command, []string) error { return h.forget() },
	}
}

// open reads the file of the house, and finds its table.
func (h *housing) open() (house.House, border.Border, error) {
	p, err := h.a.files.sound()
	if err != nil {
		return house.House{}, nil, err
	}
	read, err := readHouse(h.a, h.file, p.Studio)
	if err != nil {
		return read, nil, err
	}
	if len(read.Servers) == 0 {
		folder, err := h.a.room.statePath()
		if err != nil {
			return read, nil, err
		}
		kept, err := border.NewMemory(border.File(filepath.Join(folder, border.FileName)), time.Now)
		return read, kept, err
	}
	servers, err := serversOf(read, h.file, gate.Known{})
	return read, servers, err
}

// shared is open for what changes the table, which only servers let others do.
func (h *housing) shared() (house.House, border.Border, error) {
	read, table, err := h.open()
	if err == nil && len(read.Servers) == 0 {
		return read, nil, wrongUsage("this house has no servers: its one host keeps the table, and gives a line back when its cord is reported out")
	}
	return read, table, err
}

// show prints the rooms and the lines that are held.
func (h *housing) show(ctx context.Context, rooms []string) error {
	read, table, err := h.open()
	if err != nil {
		return err
	}
	for _, room := range rooms {
		if _, is := read.Of(room); !is {
			return unknownName(room, roomsOf(read), "%s has no room %s", h.file, room)
		}
	}
	view, err := table.View(ctx)
	if err != nil {
		return &failure{status: noAnswer, err: err}
	}
	if h.a.out.json {
		return h.a.out.answer(view)
	}
	for _, room := range roomsOf(read) {
		if len(rooms) == 0 || slices.Contains(rooms, room) {
			h.showRoom(read, room, view)
		}
	}
	if len(rooms) == 0 {
		h.showLines(view)
		h.showLent(read, view)
	}
	return nil
}

func roomsOf(h house.House) []string {
	var all []string
	for _, one := range h.Hosts {
		all = append(all, one.Rooms...)
	}
	return all
}

// showRoom prints a room as its host told last.
func (h *housing) showRoom(read house.House, room string, view border.View) {
	host, _ := read.Of(room)
	state := "nothing announced yet"
	for _, a := range view.Announced {
		if a.Room == room {
			state = words.Put("{state} ({time})", "state", words.Announced(a.Session, keep.Phase(a.Phase)), "time", a.At.Local().Format("2006-01-02 15:04:05"))
		}
	}
	h.a.out.printf("%s on %s: %s", room, host.Name, state)
	if host.Page != "" {
		h.a.out.printf("; %s", host.Page)
	}
	h.a.out.printf("\n")
}

// showLines prints who holds what, and what was taken away.
func (h *housing) showLines(view border.View) {
	for _, place := range slices.Sorted(maps.Keys(view.Table.Holds)) {
		held := view.Table.Holds[place]
		h.a.out.printf("%s: held by room %s for %s since %s\n", place, held.Room, held.Session, held.Since.Local().Format("2006-01-02 15:04"))
	}
	for _, g := range view.Grants {
		h.a.out.printf("%s: driven by host %s since %s\n", g.Line, g.Host, g.Since.Local().Format("2006-01-02 15:04:05"))
	}
	for _, t := range view.Table.Takings {
		h.a.out.printf("%s: taken away from room %s by %s on %s\n", t.Place, t.From.Room, t.By, t.At.Local().Format("2006-01-02 15:04"))
	}
	h.showUnlike(view)
	for _, w := range view.Warnings {
		h.a.out.complainf("bayhand: %s\n", w)
	}
}

// showLent prints the lines by which one room lends another a signal.
func (h *housing) showLent(read house.House, view border.View) {
	p, err := h.a.files.open()
	if err != nil || p.Room == nil {
		return // which was said already
	}
	held := func(called string) *session.Session { return h.a.files.library().Held(p, called) }
	for _, l := range gate.LentBy(read, p.Studio, view.Announced, held) {
		if !l.From.Uses && !l.To.Uses {
			continue
		}
		h.a.out.printf("%s\n", words.LineOf(l.Name, shownEnd(l.From), shownEnd(l.To)))
	}
}

// showUnlike prints which hosts have other files than the hosts go by.
func (h *housing) showUnlike(view border.View) {
	for _, host := range slices.Sorted(maps.Keys(view.Table.Hosts)) {
		for _, text := range gate.Unlike(host, view.Table.Hosts[host], view.Table.Files) {
			h.a.out.printf("%s\n", text)
		}
	}
}

func (h *housing) takeAway(ctx context.Context, line string) error {
	_, table, err := h.shared()
	if err != nil {
		return err
	}
	view, err := table.View(ctx)
	if err != nil {
		return &failure{status: noAnswer, err: err}
	}
	held, is := view.Table.Holds[border.Place(line)]
	if !is {
		var all []string
		for place := range view.Table.Holds {
			all = append(all, string(place))
		}
		slices.Sort(all)
		return wrongUsage("nobody holds %s; held are: %s", line, orNone(all))
	}
	act := border.Act{Do: border.ToTakeAway, Room: held.Room, Places: []border.Place{border.Place(line)}, By: whoAsks(), Mark: border.NewMark(), At: time.Now()}
	if _, err := table.Act(ctx, act); err != nil {
		return &failure{status: noAnswer, err: err}
	}
	return h.a.out.say(held, "%s is taken away from room %s (%s); see that its cord is out there", line, held.Room, held.Session)
}

func orNone(all []string) string {
	if len(all) == 0 {
		return "none"
	}
	return strings.Join(all, "; ")
}

func (h *housing) adopt(ctx context.Context) error {
	read, table, err := h.shared()
	if err != nil {
		return err
	}
	here := digester{a: h.a}
	_, digest, err := here.studio()
	if err != nil {
		return err
	}
	name, _ := os.Hostname()
	duties := read.Duties()
	act := border.Act{Do: border.ToAdopt, Files: digest, House: house.Digest(duties), Duties: duties, By: whoAsks(), Mark: border.NewMark(), Host: name, At: time.Now()}
	if _, err := table.Act(ctx, act); err != nil {
		return &failure{status: noAnswer, err: err}
	}
	return h.a.out.say(map[string]string{"files": digest, "house": act.House},
		"the studio file here (%.8s) and the house file here (%.8s) are those that the hosts go by now", digest, act.House)
}

func (h *housing) forget() error {
	folder, err := h.a.room.statePath()
	if err != nil {
		return err
	}
	file := filepath.Join(folder, gate.MemoName)
	if err := os.Remove(file); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return h.a.out.say(map[string]string{"forgotten": file}, "forgotten; the next daemon here takes the table that it finds")
}
