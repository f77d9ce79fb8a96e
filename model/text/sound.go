package text

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/studio"
)

// soundRates are those that a test sound can be made for.
var soundRates = []int{44100, 48000, 88200, 96000, 176400, 192000}

var testField = Field{Key: "test", Kind: Word, Words: []string{"yes", "no"}, Form: "no", Help: "no where test sound must never come, such as at a ribbon microphone or a cutting head"}

var soundFields = Table{Name: "a sound device", Fields: []Field{
	{Key: "link", Kind: Text, Form: "files", Required: true, Help: "where the device is: alsa:hw:1,0, alsa:usb:VENDOR:PRODUCT:SERIAL, pulse:SINK,SOURCE, files for recordings made by another program, or practice:PATCH.yaml for a made-up one"},
	{Key: "rate", Kind: Number, From: 44100, To: 192000, Form: "48000", Help: "samples a second"},
	{Key: "outputs", Kind: Settings, Form: "{out1-16: 1-16}", Help: "the device's channel of each output; in order where it is not said"},
	{Key: "inputs", Kind: Settings, Form: "{in1-16: 1-16}", Help: "the device's channel of each input; in order where it is not said"},
	{Key: "full-scale", Kind: Level, Form: "+24 dBu", Help: "the level of full scale; the line's max where it is not said"},
}}

var verifyFields = Table{Name: "how the room is listened to", Fields: []Field{
	{Key: "first", Kind: Text, Form: "-60 dBFS", Help: "the level of the first pass"},
	{Key: "then", Kind: Text, Form: "-30 dBFS", Help: "the level of the second pass, at most -20 dBFS"},
	{Key: "hum", Kind: Word, Words: []string{"50 Hz", "60 Hz"}, Form: "50 Hz", Help: "the frequency of the mains"},
}}

func (g *gearReader) sound(n *node) {
	if n == nil {
		return
	}
	v := g.fields(n, soundFields)
	s := &studio.Sound{Link: v.text("link"), FullScale: measured(v, "full-scale", measure.ParseLevel, 0)}
	s.Rate = v.number("rate", 0)
	if s.Rate != 0 && !slices.Contains(soundRates, s.Rate) {
		g.fault(v.of["rate"], "quantity", "write 48000", "%d stands here; legal are %s", s.Rate, strings.Trim(fmt.Sprint(soundRates), "[]"))
	}
	if link := v.of["link"]; link != nil {
		g.soundLink(link)
	}
	s.Outputs = g.soundChannels(v.of["outputs"], studio.Output)
	s.Inputs = g.soundChannels(v.of["inputs"], studio.Input)
	if len(s.Outputs) == 0 && len(s.Inputs) == 0 && v.of["outputs"] == nil && v.of["inputs"] == nil {
		g.report(g.placeOf(n), "missing", "write outputs: {out1-8: pro-line} beside it", "%s is a sound device and has no ports", g.gear.Name)
	}
	g.gear.Sound = s
}

func (g *gearReader) soundLink(n *node) {
	kind, rest, _ := strings.Cut(n.text, ":")
	kinds := []string{"alsa", "pulse", "files", "practice"}
	if !slices.Contains(kinds, kind) || kind != "files" && kind != "pulse" && rest == "" {
		g.fault(n, "word", maybe(kind, kinds), "%s stands here; a link is alsa:hw:1,0 or alsa:usb:VENDOR:PRODUCT:SERIAL, pulse:SINK,SOURCE, files, or practice:PATCH.yaml", quoteText(n.text))
	}
}

// soundChannels are the ports of a direction with the channels that the file
// gives them, or in order where it gives none.
func (g *gearReader) soundChannels(n *node, d studio.Direction) []studio.SoundChannel {
	var all []studio.SoundChannel
	if n == nil {
		for _, p := range g.gear.Ports {
			if p.Direction == d && p.Point.Part == name.Whole {
				all = append(all, studio.SoundChannel{Port: p.Point, Channel: len(all) + 1})
			}
		}
		return all
	}
	taken := map[int]*node{}
	for _, e := range n.eachEntry() {
		all = append(all, g.soundRange(e.key, e.value, d, taken)...)
	}
	slices.SortFunc(all, func(a, b studio.SoundChannel) int { return a.Channel - b.Channel })
	return all
}

// soundRange reads out1-16: 1-16.
func (g *gearReader) soundRange(key, value *node, d studio.Direction, taken map[int]*node) []studio.SoundChannel {
	points := g.portsNamed(key)
	channels := g.channelRange(value)
	if len(points) == 0 || len(channels) == 0 {
		return nil
	}
	if len(points) != len(channels) {
		g.fault(value, "count", "", "%d ports and %d channels stand here; each port has one", len(points), len(channels))
		return nil
	}
	var all []studio.SoundChannel
	for i, p := range points {
		at := slices.IndexFunc(g.gear.Ports, func(q studio.Port) bool { return q.Point == p && q.Direction == d })
		if at < 0 {
			g.fault(key, "unknown-name", "", "%s has no %s %s", g.gear.Name, d, p.Port())
			return nil
		}
		if first := taken[channels[i]]; first != nil {
			g.fault(value, "duplicate", "", "channel %d is given twice; first in line %d", channels[i], first.place.Line)
			return nil
		}
		taken[channels[i]] = value
		all = append(all, studio.SoundChannel{Port: p, Channel: channels[i]})
	}
	return all
}

// mostSoundChannel is the highest channel of a device that is believed.
const mostSoundChannel = 256

// channelRange reads 3 or 1-16.
func (g *gearReader) channelRange(n *node) []int {
	if !g.isText(n) {
		return nil
	}
	low, high, is := strings.Cut(n.text, "-")
	if !is {
		high = low
	}
	from, err := strconv.Atoi(strings.TrimSpace(low))
	to, second := strconv.Atoi(strings.TrimSpace(high))
	if err != nil || second != nil || from < 1 || to < from || to > mostSoundChannel {
		g.fault(n, "quantity", "write 1-16", "%s stands here; channels are a number or a range, from 1 to %d", quoteText(n.text), mostSoundChannel)
		return nil
	}
	var channels []int
	for c := from; c <= to; c++ {
		channels = append(channels, c)
	}
	return channels
}

// Levels of test sound, in dBFS rms: below the lowest nothing is heard over
// converters, and above the highest it is refused.
const (
	lowestTest  = -100.0
	highestTest = -20.0
)

func (r *studioReader) verify(n *node) studio.Verify {
	v := r.fields(n, verifyFields)
	made := studio.Verify{First: r.testLevel(v.of["first"]), Then: r.testLevel(v.of["then"])}
	made.Hum, _ = strconv.Atoi(strings.TrimSuffix(v.word("hum"), " Hz"))
	return made
}

// testLevel reads -60 dBFS.
func (r *reader) testLevel(n *node) float64 {
	if n == nil {
		return 0
	}
	digits, ok := strings.CutSuffix(n.text, "dBFS")
	level, err := strconv.ParseFloat(strings.TrimSpace(digits), 64)
	if !ok || err != nil || !(level >= lowestTest && level <= highestTest) {
		r.fault(n, "quantity", "write -60 dBFS", "%s stands here; test sound is played between %.0f and %.0f dBFS", quoteText(n.text), lowestTest, highestTest)
		return 0
	}
	return level
}
