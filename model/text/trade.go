package text

import (
	"slices"
	"strings"
	"unicode"

	"bayhand/model/name"
	"bayhand/model/phrase"
)

// tradeWords are words that people of the trade write, with ours that they are most
// likely meant to be. Which of ours stands for a word depends on what may stand
// there: common practice, no published source.
var tradeWords = map[string][]string{
	// keys
	"protect": {"keep"}, "hold": {"keep"}, "lock": {"keep"},
	"connections": {"connect"}, "routes": {"connect"}, "routing": {"connect"}, "patches": {"connect"},
	"mute": {"cut", "mute"}, "mutes": {"cut", "mute"}, "muted": {"cut"},
	"wires": {"wiring"}, "cables": {"wiring"}, "wire": {"wiring"},
	"patchbay": {"bays"}, "patchbays": {"bays"}, "bay": {"bays"},
	"devices": {"gear"}, "equipment": {"gear"}, "outboard": {"gear"},
	"router": {"matrices"}, "routers": {"matrices"}, "switcher": {"matrices"}, "matrix": {"matrices"},
	"tielines": {"ties"}, "tie-lines": {"ties"}, "panels": {"boxes"}, "stageboxes": {"boxes"}, "snakes": {"ties"},
	"plug": {"jack"}, "connector": {"jack", "plug"}, "format": {"jack"}, "size": {"pairs"},
	"normalling": {"modes", "normals"}, "mode": {"modes"}, "channels": {"pairs", "channels"},
	"comment": {"notes"}, "comments": {"notes"}, "remarks": {"notes"}, "note": {"notes"},
	"sends": {"outputs"}, "returns": {"inputs"}, "outs": {"outputs"}, "ins": {"inputs"}, "out": {"outputs"}, "in": {"inputs"},
	"title": {"session", "studio"}, "name": {"session", "studio"}, "based-on": {"like"}, "extends": {"like"},
	"broken": {"faulty"}, "bad": {"faulty"}, "spares": {"dummies"}, "dummy": {"dummies"},
	// modes
	"normalled": {"normal"}, "fully-normalled": {"normal"}, "full-normalled": {"normal"}, "full": {"normal"}, "fullnormal": {"normal"}, "normaled": {"normal"},
	"half": {"half-normal"}, "half-normalled": {"half-normal"}, "halfnormal": {"half-normal"}, "half-normaled": {"half-normal"},
	"reverse-half-normal": {"half-normal-top"}, "reversed-half-normal": {"half-normal-top"},
	"non-normalled": {"isolated"}, "nonnormalled": {"isolated"}, "denormalled": {"isolated"}, "de-normalled": {"isolated"}, "unnormalled": {"isolated"}, "none": {"isolated"},
	// kinds of line
	"consumer": {"home-line"}, "consumer-line": {"home-line"}, "semi-pro": {"home-line"}, "hi-fi": {"home-line"}, "hifi": {"home-line"}, "rca": {"home-line"}, "phono": {"home-line"},
	"pro": {"pro-line"}, "professional": {"pro-line"}, "line": {"pro-line"}, "line-level": {"pro-line"}, "balanced": {"pro-line"}, "studio": {"pro-line"},
	"mic": {"microphone"}, "mic-level": {"microphone"}, "dynamic": {"microphone"}, "condenser": {"microphone"},
	"hi-z": {"instrument"}, "hiz": {"instrument"}, "di": {"instrument"}, "guitar": {"instrument"},
	"phones": {"headphone"}, "headphones": {"headphone"}, "cans": {"headphone"},
	// jacks
	"tt": {"bantam"}, "tiny": {"bantam"}, "mini": {"bantam"}, "tiny-telephone": {"bantam"}, "miniature": {"bantam"},
	"trs": {"quarter-inch", "trs"}, "ts": {"quarter-inch", "ts"}, "jack": {"quarter-inch"}, "1/4": {"quarter-inch"}, "6.35mm": {"quarter-inch"}, "6.35 mm": {"quarter-inch"}, "6.3mm": {"quarter-inch"},
	"telephone": {"long-frame"}, "b-gauge": {"long-frame"}, "gpo": {"long-frame"},
}

// tradeHints are hints that a single word of ours is too short for.
var tradeHints = []struct {
	words []string
	legal string
	hint  string
}{
	{[]string{"speaker", "speakers", "monitor", "monitors"}, "loudspeaker",
		"loudspeaker is the line behind a power amplifier; an active loudspeaker's input is pro-line, and its gear has role: loudspeaker"},
	{[]string{"trs", "ts", "xlr", "jack", "bantam", "tt", "quarter-inch"}, "pro-line",
		"that is a plug; write the line's kind, and the plug beside it: {line: pro-line, plug: trs}"},
	{[]string{"unbalanced"}, "pro-line",
		"write home-line where it is at the lower level, or {line: pro-line, balanced: false}"},
	{[]string{"aes", "aes3", "spdif", "s/pdif", "toslink", "madi", "word-clock", "wordclock", "clock", "digital", "midi", "video", "ethernet", "network"}, "pro-line",
		"bayhand describes analogue audio alone; leave digital audio, clocks, MIDI and networks out, and off its bays: a tap or a mult spoils them"},
	{[]string{"normalled", "normaled"}, "half-normal",
		"write normal where a plug in either jack breaks it (full normal), or half-normal where only one in the bottom jack does"},
	{[]string{"trs", "ts", "jack"}, "bantam",
		"write quarter-inch for the plug of 6.35 mm, or bantam for the one of 4.4 mm; how many poles its plugs have is said of the cords"},
}

// meant is the hint that leads from a word of the trade to ours; empty where the
// word is none, or what it stands for cannot stand there.
func meant(text string, legal []string) string {
	word := strings.ToLower(text)
	for _, h := range tradeHints {
		if slices.Contains(h.words, word) && slices.Contains(legal, h.legal) {
			return h.hint
		}
	}
	for _, ours := range tradeWords[word] {
		if slices.Contains(legal, ours) && ours != text {
			return phrase.Put("did you mean {word}?", "word", ours)
		}
	}
	return ""
}

// sides are the ends of names that people give to the two of a stereo pair.
var sides = [][2]string{{"L", "-left"}, {"R", "-right"}}

// asOwner is how the name of gear, a bay, a box or a matrix would be written; empty where it
// cannot be told.
func asOwner(text string) string {
	as := strings.ToLower(strings.Join(strings.FieldsFunc(text, func(r rune) bool { return r == '_' || r == '-' || r == '.' || unicode.IsSpace(r) }), "-"))
	if name.CheckOwner(as) != nil {
		return ""
	}
	return as
}

// asPort is how the name of a port would be written here; empty where it cannot be
// told, or is legal as it is.
func asPort(text string) string {
	owner, port, found := strings.Cut(text, "/")
	if !found {
		owner, port = "", text
	}
	for _, side := range sides {
		if stem, ok := strings.CutSuffix(port, side[0]); ok && stem != "" && strings.ToLower(stem) == stem {
			port = strings.TrimRight(stem, "-_ ") + side[1]
		}
	}
	port = strings.ToLower(strings.ReplaceAll(port, "_", "-"))
	stem := strings.TrimRight(port, "0123456789,-")
	port = stem + strings.TrimLeft(port[len(stem):], "-")
	if _, err := name.Ports(owner, port); err != nil {
		return ""
	}
	if owner = asOwner(owner); found && owner == "" {
		return ""
	} else if found {
		port = owner + "/" + port
	}
	if port == text {
		return ""
	}
	return port
}
