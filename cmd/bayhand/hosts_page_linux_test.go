package main

import (
	"fmt"
	"strings"
	"testing"

	"bayhand/recall/border"
	"bayhand/simulators/loopback"
)

const lentStudio = `studio: Heron Boathouse, two rooms
gear:
  desk: {outputs: {out1-2: pro-line}, inputs: {in1-2: pro-line}}
  stage: {outputs: {out1-2: pro-line}, inputs: {in1-2: pro-line}}
  tape: {outputs: {out1: pro-line}, inputs: {in1: pro-line}}
bays:
  main: {pairs: 8, modes: isolated}
  far: {pairs: 8, modes: isolated}
  core: {pairs: 8, modes: isolated}
wiring:
  - desk/out1-2 -> main/t1-2
  - main/b1-2 -> desk/in1-2
  - stage/out1-2 -> far/t1-2
  - far/b1-2 -> stage/in1-2
  - tape/out1 -> core/t7
  - core/b8 -> tape/in1
ties: [main/b7-8 = far/t7-8, main/b5 = core/t1, far/b5 = core/t2]
rooms: {live: [far, stage], mix: [main, desk]}
lines-to: {live: {talk: main/b8}, mix: {backline: far/t7}}
`

// lentHosts are two hosts with a room each, the one at the address of its page, and a line
// in each direction between them.
func lentHosts(t *testing.T) (h *hosts, north, south *oneHost, pages map[string]string) {
	t.Helper()
	h = atTable(t, 1, 30)
	north, south = h.add("north"), h.add("south")
	pages = map[string]string{}
	listen := map[string]string{}
	for _, one := range h.all {
		address, err := loopback.Free()
		if err != nil {
			t.Fatal(err)
		}
		listen[one.room], pages[one.room] = address, "http://"+address
	}
	for _, one := range h.all {
		h.write(one, map[string]string{
			"studio.yaml": lentStudio,
			"house.yaml": fmt.Sprintf("house: Hosts\nservers: %s\nhosts:\n  north: {rooms: [live], page: %q}\n  south: {rooms: [mix], page: %q}\n",
				h.serversOf(one), pages["north"], pages["south"]),
			"sessions/give.yaml":   "session: Give\nconnect: [desk/out1 -> talk, backline -> desk/in2]\n",
			"sessions/take.yaml":   "session: Take\nconnect: [talk -> stage/in1, stage/out2 -> backline]\n",
			"sessions/record.yaml": "session: Record\nconnect: [stage/out1 -> tape/in1]\n",
		})
		one.more, one.env = []string{"--http", listen[one.room]}, []string{retellVariable + "=1s"}
		h.start(one)
	}
	return h, north, south, pages
}

// Two people at the pages of two hosts, one at a desk and one with a phone: the rooms of
// the house with a way to each; a line in each direction, with each side's own steps and
// who waits for whom, as it changes; hosts with two files, and one again; and a host that
// is gone, while the other goes on.
//
// It runs beside no other test: a browser stops what it loads when a network is added.
func TestPageOfTwoHosts(t *testing.T) {
	desk, phone := browsers(t)
	h, north, south, pages := lentHosts(t)
	desk.enters(h, north, "/rooms")
	desk.says("live no session recalled on north, this host mix no session recalled on south, heard in the last 2 minutes")
	desk.says("backline: from live to mix not in use")
	phone.enters(h, south, "/rooms")
	phone.says("mix no session recalled on south, this host")
	phone.fits()

	linesAreLent(desk, phone, pages)
	desk.opens(pages["north"] + "/rooms")
	desk.until(fmt.Sprintf(`document.querySelector("h3 a[href='%s']")`, pages["south"]))
	otherFiles(h, desk, north, south)
	hostIsGone(h, desk, south, pages)

	// The way to the other host leads to its own door.
	desk.clicks(fmt.Sprintf("h3 a[href='%s']", pages["south"]))
	desk.until(fmt.Sprintf(`location.origin === %q && document.readyState === "complete"`, pages["south"]))
	desk.shoot("rooms-door")
	desk.enters(h, south, "/rooms")
	desk.says("mix Give: ready on south, this host")
}

// linesAreLent recalls a session at each host, and does its steps there.
func linesAreLent(desk, phone *visitor, pages map[string]string) {
	desk.Helper()
	phone.recalls(pages["south"], "give")
	phone.says("main 8 bottom")
	phone.says("nobody takes talk yet: room live (host north) has no session")
	phone.fits()
	phone.shoot("rooms-give")
	desk.says("mix Give: cords to plug")
	desk.says("talk: from mix to live mix waits for live mix: Give sends into it: cords to plug live: no session")
	desk.recalls(pages["north"], "take")
	desk.says("far 8 top")
	desk.says("talk comes from room mix (host south), where give sends into it: cords to plug")
	desk.says("main: in room mix, drawn at host south")
	desk.until(`document.getElementById("bay-far") && document.getElementById("bay-core") && !document.getElementById("bay-main")`)
	desk.shoot("rooms-take")
	phone.opens(pages["south"] + "/rooms")
	phone.says("talk: from mix to live steps left at both ends")
	phone.shoot("rooms-both")
	phone.opens(pages["south"])
	phone.ticks("1", "2")
	phone.says("ready (cords as reported)")
	phone.says("talk goes to room live (host north), where take takes it: cords to plug")
	desk.lacks("talk comes from room mix")
	desk.lacks("backline goes to room mix")
	phone.opens(pages["south"] + "/rooms")
	phone.says("backline: from live to mix mix waits for live live: Take sends into it: cords to plug mix: Give takes it: ready")
	desk.ticks("1", "2")
	desk.says("ready (cords as reported)")
	phone.says("talk: from mix to live ready at both ends")
	phone.fits()
	phone.shoot("rooms-ready")
}

// otherFiles edits the studio at one host, and then at the other.
func otherFiles(h *hosts, desk *visitor, north, south *oneHost) {
	h.Helper()
	edited := map[string]string{"studio.yaml": strings.Replace(lentStudio, "tape: {outputs: {out1: pro-line}", "tape: {outputs: {out1-2: pro-line}", 1)}
	h.write(south, edited)
	desk.says("host south has another studio file")
	desk.shoot("rooms-files")
	h.write(north, edited)
	desk.lacks("another studio file")
	view, err := h.table.View(h.Context())
	if err != nil || len(view.Table.Hosts) != 2 || view.Table.Files.Digest != view.Table.Hosts["south"].Studio || view.Table.Files.By != "" {
		h.Errorf("the hosts go by %+v, and %v", view.Table.Files, err)
	}
}

// hostIsGone kills a host, works on at the other, and starts it again.
func hostIsGone(h *hosts, desk *visitor, south *oneHost, pages map[string]string) {
	h.Helper()
	_ = south.process.Process.Kill()
	_ = south.process.Wait()
	desk.says("off, or cut off")
	desk.says("mix Give: ready on south, not heard since")
	desk.says("talk: from mix to live ready at both ends")
	desk.fits()
	desk.shoot("rooms-gone")
	h.until("live holds the tape", func() bool { // a table that is slow to answer gives nothing
		desk.opens(pages["north"] + "/sessions/record")
		desk.clicks("#recall")
		desk.until(`location.pathname === "/" || document.getElementById("refused") && !document.getElementById("refused").hidden`)
		view, err := h.table.View(h.Context())
		return err == nil && view.Table.Holds[border.Place("tape")].Room == "live"
	})
	h.start(south)
	desk.opens(pages["north"] + "/rooms")
	desk.says("on south, heard in the last 2 minutes")
}
