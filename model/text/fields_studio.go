package text

import (
	"maps"
	"slices"

	"bayhand/model/name"
)

// StudioFields are the fields of a studio file.
func StudioFields() Table { return studioFields }

const most = name.MaxNumber

var lineKinds = []string{"line", "mic", "instrument", "headphone", "loudspeaker"}

// lineValues are the fields that lines and the long form of ports share.
var lineValues = []Field{
	{Key: "level", Kind: Level, Form: "+4 dBu", Help: "the working level"},
	{Key: "max", Kind: Level, Form: "+24 dBu", Help: "the highest level before clipping"},
	{Key: "source", Kind: Impedance, Form: "100 ohm", Help: "the impedance of an output"},
	{Key: "load", Kind: Impedance, Form: "10 kohm", Help: "the impedance of an input"},
	{Key: "min-load", Kind: Impedance, Form: "600 ohm", Help: "the lowest load that an output may see"},
	{Key: "level-into", Kind: Impedance, Form: "600 ohm", Help: "the load at which level and max hold; without it they are those of the open output"},
	{Key: "balanced", Kind: Other, Any: []Field{{Kind: Flag}, {Kind: Word, Words: stageWords}}, Form: "active", Help: "whether both legs carry the signal: true, false or, where it is known, the kind"},
	{Key: "phantom", Kind: Flag, Form: "true", Help: "whether an input can supply phantom power"},
	{Key: "plug", Kind: Text, Form: "xlr", Help: "the connector at the gear"},
}

var lineFields = Table{Name: "a kind of line", Fields: append([]Field{
	{Key: "kind", Kind: Word, Words: lineKinds, Form: "line", Help: "the family: what may be joined with what"},
}, lineValues...)}

var shortField = Field{Key: "short", Kind: Text, Form: "COMP", Help: "the label for strips, forms and wraps, where the whole one does not fit"}

var socketFields = Table{Name: "a connector", Fields: []Field{
	{Key: "plug", Kind: Text, Form: "d-sub-25", Required: true, Help: "the kind of connector"},
	{Key: "ports", Kind: Other, Any: []Field{{Kind: Text}, {Kind: Texts}}, Form: "out1-8", Required: true, Help: "the ports, or jacks, that it holds, in the order of its circuits; a list where their names differ"},
	{Key: "pins", Kind: Word, Words: []string{"aes59"}, Form: "aes59", Help: "the standard by which its contacts are counted"},
}}

var socketsField = Field{Key: "sockets", Kind: Records, Of: &socketFields, Form: "{d1: {plug: d-sub-25, ports: out1-8, pins: aes59}}", Help: "connectors at the rear that hold several of them"}

var stripFields = Table{Name: "the strips of a bay", Fields: []Field{
	{Key: "above", Kind: Length, Form: "8 mm", Help: "the height of the strip above the jacks"},
	{Key: "between", Kind: Length, Form: "6 mm", Help: "of the strip between the rows; 0 mm for none"},
	{Key: "below", Kind: Length, Form: "8 mm", Help: "of the strip below the jacks"},
	{Key: "rear", Kind: Length, Form: "8 mm", Help: "of the strips at the rear"},
	{Key: "lead-in", Kind: Length, Form: "4 mm", Help: "how far before the centre of the first column a strip begins; half the pitch where it is not said"},
}}

var portFields = Table{Name: "a range of ports", Fields: append([]Field{
	{Key: "line", Kind: Text, Form: "pro-line", Required: true, Help: "the kind of line"},
	{Key: "label", Kind: Text, Form: "Left input", Help: "what people read"},
	shortField,
	testField,
}, lineValues...)}

// stageWords are the kinds of balanced port.
var stageWords = []string{"active", "transformer", "cross-coupled", "impedance"}

var muteFields = Table{Name: "a mute", Fields: []Field{
	{Key: "by", Kind: Text, Form: "person", Required: true, Help: "person, or the matrix output that mutes it when it is off"},
	{Key: "at", Kind: Text, Form: "monitor cut", Help: "the switch or knob that a person works"},
}}

var midiFields = Table{Name: "the MIDI of gear", Fields: []Field{
	{Key: "port", Kind: Text, Form: `"usb-midi"`, Required: true, Help: "the MIDI port that it listens to"},
	{Key: "channel", Kind: Number, From: 1, To: 16, Form: "3", Required: true, Help: "its channel"},
	{Key: "first", Kind: Number, From: 0, To: 1, Form: "1", Help: "what its panel calls the program that is 0 on the wire"},
}}

var controlFields = Table{Name: "the control port", Fields: []Field{
	{Key: "port", Kind: Text, Form: `"usb-midi"`, Required: true, Help: "the MIDI port that is listened to"},
	{Key: "channel", Kind: Number, From: 1, To: 16, Form: "16", Help: "the channel that is heard; without it all are"},
}}

var gearFields = Table{Name: "gear", Fields: []Field{
	{Key: "label", Kind: Text, Form: "Two-channel compressor", Help: "what people read"},
	shortField,
	{Key: "outputs", Kind: Ports, Of: &portFields, Form: "{out1-16: pro-line}", Help: "outputs, each range with its kind of line"},
	{Key: "inputs", Kind: Ports, Of: &portFields, Form: "{in1-16: pro-line}", Help: "inputs, each range with its kind of line"},
	{Key: "inserts", Kind: Ports, Of: &portFields, Form: "{ins1-8: pro-line}", Help: "inserts: each gives a .send, an output, and a .return, an input"},
	{Key: "channels", Kind: Number, From: 1, To: most, Form: "2", Help: "so many channels, each with an input, an output and a pass between them"},
	{Key: "line", Kind: Text, Form: "pro-line", Help: "the kind of line of the channels"},
	{Key: "passes", Kind: Lines, Form: "[in1 => out1-2]", Help: "what always goes through"},
	{Key: "can-pass", Kind: Lines, Form: "[in1-16 => mix1-2]", Help: "what a desk or a switch could let through"},
	{Key: "role", Kind: Word, Words: []string{"loudspeaker", "headphone"}, Form: "loudspeaker", Help: "gear that is muted before anything in its path moves"},
	{Key: "mute", Kind: Record, Of: &muteFields, Form: "{by: person, at: monitor cut}", Help: "how it is muted"},
	{Key: "midi", Kind: Record, Of: &midiFields, Form: `{port: "usb-midi", channel: 3}`, Help: "how its programs are recalled"},
	{Key: "select", Kind: Other, Any: []Field{{Kind: Lists}}, Form: "[[mix1-2, alt1-2]]", Help: "switches: of the choices of each, one is in use at a time, the first unless the session says"},
	{Key: "steals", Kind: Settings, Form: "{front1: in1}", Help: "front sockets that take over rear inputs; a socket that is no input yet becomes one"},
	{Key: "place", Kind: Record, Of: &gearPlaceFields, Form: "{rack: left, unit: 12}", Help: "where its rear stands, for the lengths of cables"},
	{Key: "loose", Kind: Flag, Form: "true", Help: "whether it stands loose, such as a DI box, and gear cables of other gear go into its inputs"},
	{Key: "at", Kind: Other, Any: []Field{{Kind: Name}, {Kind: Names}}, Form: "floor-a", Help: "the box, bay or loose gear that its gear cables can be plugged into, or a list; any where it is not said"},
	socketsField,
	{Key: "sound", Kind: Record, Of: &soundFields, Form: `{link: files, rate: 48000}`, Help: "how it is reached as the sound device of this machine, to listen to the room with"},
	testField,
	{Key: "insert-tip", Kind: Word, Words: []string{"send", "return"}, Form: "send", Help: "what the tip of its inserts carries, each a send and a return on one jack"},
}}

var placeFields = Table{Name: "the place of a bay", Fields: []Field{
	{Key: "rack", Kind: Name, Form: "left", Help: "the rack that it is in"},
	{Key: "unit", Kind: Number, From: 1, To: 100, Form: "20", Help: "the unit of the rack, counted from the floor"},
	{Key: "x", Kind: Length, Form: "0 cm", Help: "how far right the top jack of pair 1 stands"},
	{Key: "y", Kind: Length, Form: "120 cm", Help: "how high the top jack of pair 1 stands"},
}}

var rearWords = []string{"solder", "punch", "jack", "d-sub", "xlr", "terminal"}

var gearPlaceFields = Table{Name: "the place of gear", Fields: []Field{
	{Key: "rack", Kind: Name, Form: "left", Help: "the rack that it is in"},
	{Key: "unit", Kind: Number, From: 1, To: 100, Form: "12", Help: "the unit of the rack, counted from the floor"},
	{Key: "x", Kind: Length, Form: "150 cm", Help: "how far right its rear stands"},
	{Key: "y", Kind: Length, Form: "80 cm", Help: "how high its rear stands"},
}}

var modeWords = []string{"normal", "half-normal", "half-normal-top", "isolated", "parallel"}

// modeChoices are the words for modes that are read, synonyms of the trade among
// them.
var modeChoices = append(slices.Sorted(maps.Keys(modeSynonyms)), modeWords...)

var bayFields = Table{Name: "a bay", Fields: []Field{
	{Key: "label", Kind: Text, Form: "Control room", Help: "what people read"},
	shortField,
	{Key: "pairs", Kind: Number, From: 1, To: most, Form: "48", Help: "the number of columns, each a top and a bottom jack"},
	{Key: "points", Kind: Number, From: 2, To: 2 * most, Form: "96", Help: "the number of jacks, two for each pair"},
	{Key: "rows", Kind: Texts, Form: "[a, b]", Help: "the names of the rows as printed on the bay"},
	{Key: "jack", Kind: Word, Words: []string{"bantam", "quarter-inch", "long-frame"}, Form: "bantam", Help: "the kind of jack"},
	{Key: "ground", Kind: Word, Words: []string{"separate", "bussed", "strapped"}, Form: "strapped", Help: "what the sleeves do at the rear"},
	{Key: "at", Kind: Record, Of: &placeFields, Form: "{rack: left, unit: 20}", Help: "where the bay is mounted"},
	{Key: "pitch", Kind: Length, Form: "7.9 mm", Help: "the way from column to column"},
	{Key: "rear", Kind: Word, Words: rearWords, Form: "solder", Help: "what the rear of a jack takes"},
	socketsField,
	{Key: "strips", Kind: Record, Of: &stripFields, Form: "{above: 8 mm, below: 8 mm, between: 6 mm, lead-in: 4 mm, rear: 8 mm}", Help: "the sizes of the strips that name its jacks"},
	{Key: "set-modes", Kind: Text, Form: "by 8", Help: "how the modes can be chosen: each, by 8 or any other number of pairs, or fixed"},
	{Key: "modes", Kind: Other, Any: []Field{{Kind: Word, Words: modeChoices}, {Kind: Settings}}, Words: modeWords, Form: "{1-16: half-normal, 17-24: isolated}", Required: true, Help: "what each pair does when nothing, or something, is plugged; one word means all pairs"},
}}

var boxFields = Table{Name: "a box", Fields: []Field{
	{Key: "label", Kind: Text, Form: "Floor, left", Help: "what people read"},
	{Key: "jacks", Kind: Number, From: 1, To: most, Form: "8", Required: true, Help: "the number of its sockets"},
	{Key: "jack", Kind: Text, Form: "xlr", Help: "the kind of connector"},
}}

var rackFields = Table{Name: "a rack", Fields: []Field{
	{Key: "x", Kind: Length, Form: "0 cm", Required: true, Help: "where its left edge stands"},
}}

var deviceFields = Table{Name: "a device", Open: true, Fields: []Field{
	{Key: "description", Kind: Text, Form: "scpi-switch", Required: true, Help: "the description of the device"},
	{Key: "link", Kind: Text, Form: `"serial:/dev/ttyUSB0?baud=9600"`, Required: true, Help: "the link that it is connected to"},
}}

var matrixFields = Table{Name: "a matrix", Fields: []Field{
	{Key: "label", Kind: Text, Form: "Relay matrix", Help: "what people read"},
	{Key: "inputs", Kind: Number, From: 1, To: most, Form: "16", Required: true, Help: "inputs in1 to this number"},
	{Key: "outputs", Kind: Number, From: 1, To: most, Form: "16", Required: true, Help: "outputs out1 to this number"},
	{Key: "device", Kind: Other, Of: &deviceFields, Any: []Field{{Kind: Record, Of: &deviceFields}}, Form: `{description: scpi-switch, link: "serial:/dev/ttyUSB0?baud=9600"}`, Help: "the device and the link that it is connected to; other keys are parameters of the description"},
	{Key: "kind", Kind: Word, Words: []string{"amplifiers", "contacts"}, Form: "contacts", Help: "what a crosspoint is made of"},
	{Key: "unused", Kind: Word, Words: []string{"driven", "open"}, Form: "open", Help: "what an amplifier's output without a crosspoint does to its net"},
	{Key: "power-off", Kind: Word, Words: []string{"open", "holds", "unknown"}, Form: "open", Help: "what it does without power; a loudspeaker is better muted by one that opens"},
	{Key: "line", Kind: Text, Form: "pro-line", Help: "the kind of line of its inputs, and of its outputs where nothing else is said"},
	{Key: "outputs-line", Kind: Text, Form: "pro-line", Help: "the kind of line of its outputs"},
	{Key: "missing", Kind: Lines, Form: "[in1-4 x out9-16]", Help: "crosspoints that do not exist in the hardware"},
	{Key: "stereo", Kind: Lists, Form: "[[out1, out2]]", Help: "outputs that are switched together: with in3 -> out1 goes in4 -> out2"},
}}

var wireFields = Table{Name: "a wire", Fields: append([]Field{
	{Key: "from", Kind: Text, Form: "interface/out1-8", Required: true, Help: "where the signal comes from"},
	{Key: "to", Kind: Text, Form: "main/t1-8", Required: true, Help: "where it goes"},
}, runFields...)}

var stockCordFields = Table{Name: "a kind of cord", Fields: []Field{
	{Key: "length", Kind: Length, Form: "60 cm", Required: true, Help: "its length"},
	{Key: "ends", Kind: Texts, Form: "[bantam, quarter-inch]", Help: "the kinds of plug at its ends"},
	{Key: "poles", Kind: Number, From: 2, To: 3, Form: "3", Help: "2 for tip and sleeve, 3 with a ring"},
	{Key: "colour", Kind: Text, Form: "red", Help: "its colour, named in the step that plugs it"},
	{Key: "count", Kind: Number, From: 0, To: most, Form: "4", Help: "how many are owned"},
}}

var cordsFields = Table{Name: "the cords owned", Fields: []Field{
	{Key: "stock", Kind: Other, Of: &stockCordFields, Any: []Field{{Kind: Settings}, {Kind: RecordList, Of: &stockCordFields}}, Form: "{30 cm: 24, 60 cm: 12}", Help: "all cords owned, plugged or not: counts by length, or a list of kinds"},
	{Key: "cable", Kind: Text, Form: "cord", Help: "the kind of cable that they are made of"},
	{Key: "slack", Kind: Length, Form: "10 cm", Help: "what a cord needs beyond the way between its jacks; 10 cm where nothing is said"},
	{Key: "numbered", Kind: Text, Form: "1-36", Help: "the numbers that stand on the cords: a cord that is at fault again and again is followed by its number"},
}}

var lineToFields = Table{Name: "a line to a room", Fields: []Field{
	{Key: "at", Kind: Text, Form: "main/b8", Required: true, Help: "the jack where it begins; a range gives a line with in1 and out1 and so on"},
	{Key: "line", Kind: Text, Form: "microphone", Help: "the kind of line; pro-line where it is not said"},
	{Key: "label", Kind: Text, Form: "Talk to the live room", Help: "what people read"},
	shortField,
}}

var studioFields = Table{Name: "a studio", Fields: []Field{
	{Key: "studio", Kind: Text, Form: "Heron Boathouse", Required: true, Help: "the name that people read"},
	{Key: "gear", Kind: Records, Of: &gearFields, Help: "pieces of equipment by name"},
	{Key: "lines", Kind: Records, Of: &lineFields, Form: "{tape-line: {kind: line, level: +4 dBu}}", Help: "kinds of line of one's own, or other values for a built-in one"},
	{Key: "bays", Kind: Records, Of: &bayFields, Help: "passive patch bays by name"},
	{Key: "boxes", Kind: Records, Of: &boxFields, Form: "{floor-a: {jacks: 8, jack: xlr}}", Help: "floor and wall boxes by name; their sockets are floor-a/1 and so on"},
	{Key: "racks", Kind: Records, Of: &rackFields, Form: "{left: {x: 0 cm}}", Help: "where racks stand"},
	{Key: "matrices", Kind: Records, Of: &matrixFields, Help: "programmable routers by name"},
	{Key: "wiring", Kind: Lines, Of: &wireFields, Form: "[interface/out1-16 -> main/t1-16]", Help: "permanent cables at the rear, the way the signal flows"},
	{Key: "ties", Kind: Lines, Of: &tieFields, Form: "[main/b40-43 = far/t1-4]", Help: "rears of jacks that are joined"},
	{Key: "mults", Kind: Lists, Form: "[[main/t45, main/b45, main/t46]]", Help: "rears of several jacks that are joined"},
	{Key: "normals", Kind: Lines, Form: "[main/b41 -> far/b3]", Help: "normals strapped between jacks that are no pair; a plug at the right breaks them"},
	{Key: "faulty", Kind: Lines, Form: "[main/t13, normal main/5]", Help: "jacks and normals that do not work"},
	{Key: "cables", Kind: Records, Of: &cableFields, Form: "{pair: {cores: 60 pF/m, shield: 110 pF/m, resistance: 0.08 ohm/m}}", Help: "kinds of cable of one's own, or other values for a built-in one: pair, pair-8, coax, cord"},
	{Key: "reference", Kind: Record, Of: &referenceFields, Form: "{0 dBFS: +24 dBu}", Help: "what full scale of the interface is"},
	{Key: "cords", Kind: Other, Of: &cordsFields, Any: []Field{{Kind: Record, Of: &cordsFields}, {Kind: RecordList, Of: &stockCordFields}}, Form: "{stock: {30 cm: 24}, slack: 10 cm}", Help: "the cords owned; without it as many as it takes"},
	{Key: "dummies", Kind: Number, From: 0, To: most, Form: "8", Help: "the dummies owned; without it as many as it takes"},
	{Key: "rest", Kind: Record, Of: &contentFields, Form: "{cords: [], crosspoints: {grid: {out1: in1}}}", Help: "the room between sessions"},
	{Key: "rooms", Kind: Other, Any: []Field{{Kind: Tree}}, Form: "{live: [far], mix: [main, grid]}", Help: "parts that can hold different sessions at once"},
	{Key: "together", Kind: Lists, Form: "[[live, mix]]", Help: "rooms that stand in one place, so that cords go from the one to the other; between others is a wall"},
	{Key: "lines-to", Kind: Groups, Of: &lineToFields, Form: "{live: {tie1: main/b8}}", Help: "ties by which one room lends another a signal: by the room where they arrive and a name, the jack in the other room where they begin"},
	{Key: "control", Kind: Record, Of: &controlFields, Form: `{port: "usb-midi", channel: 16}`, Help: "where a MIDI Program Change recalls the session with that program:"},
	{Key: "accept", Kind: RecordList, Of: &acceptFields, Form: "[{finding: level-differs, at: squeeze/in1-2, because: switched at the rear}]", Help: "findings that somebody has looked at: they are counted, not printed"},
	{Key: "verify", Kind: Record, Of: &verifyFields, Form: "{first: -60 dBFS, then: -30 dBFS, hum: 50 Hz}", Help: "how the room is listened to with test sound"},
	{Key: "drift", Kind: Word, Words: []string{"restore", "keep"}, Form: "restore", Help: "what to do when somebody turns a matrix by hand"},
}}
