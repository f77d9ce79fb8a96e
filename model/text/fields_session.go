package text

// SessionFields are the fields of a session file.
func SessionFields() Table { return sessionFields }

var wantFields = Table{Name: "a connection", Fields: []Field{
	{Key: "from", Kind: Text, Form: "interface/out5", Required: true, Help: "the source"},
	{Key: "to", Kind: Text, Form: "plate/in1", Required: true, Help: "the destination"},
	{Key: "via", Kind: Other, Any: []Field{{Kind: Name}, {Kind: Names}}, Form: "grid", Help: "a matrix or bay that it must go by way of"},
	{Key: "avoid", Kind: Other, Any: []Field{{Kind: Name}, {Kind: Names}}, Form: "far", Help: "a matrix or bay that it must not go by way of"},
}}

var sessionFields = Table{Name: "a session", Fields: []Field{
	{Key: "session", Kind: Text, Form: "Tern Quartet, second mix", Required: true, Help: "the title that people read"},
	{Key: "like", Kind: Text, Form: "tern-mix-1", Help: "as that session, but: lines here replace lines there to the same destination"},
	{Key: "program", Kind: Number, From: 0, To: 127, Form: "12", Help: "the MIDI Program Change on the control port that recalls it"},
	{Key: "weight", Kind: Number, From: 1, To: 1000, Form: "3", Help: "how often it is recalled, against the others; for bayhand arrange"},
	{Key: "bank", Kind: Number, From: 0, To: 16383, Form: "2", Help: "the bank of that program, by Bank Select: 128 times controller 0, and controller 32"},
	{Key: "guests", Kind: Records, Of: &gearFields, Form: "{keys: {outputs: {out1-2: home-line}, at: floor-a}}", Help: "gear that comes for this session; it connects by gear cables"},
	{Key: "substitute", Kind: Settings, Form: "{opto: vari}", Help: "a unit that is away, and what stands in for it in all lines"},
	{Key: "select", Kind: Other, Any: []Field{{Kind: Tree}}, Form: "{bus: alt1-2}", Help: "the choice that is in use, by gear; a list where it has several switches"},
	{Key: "connect", Kind: Lines, Labelled: true, Of: &wantFields, Form: "[interface/out1 -> squeeze/1 -> interface/in1]", Help: "what must be heard where"},
	{Key: "silent", Kind: Names, Form: "[cue/in1-2]", Help: "destinations that must hear nothing"},
	{Key: "cut", Kind: Names, Form: "[speakers]", Help: "loudspeakers that are muted at their own switch"},
	{Key: "allow", Kind: Texts, Form: "[loop bus/mix1]", Help: "loops that are meant, each by a port that it goes through"},
	{Key: "inside", Kind: Lines, Form: "[interface/in1 -> interface/out3]", Help: "what the software or desk carries in this session"},
	{Key: "keep", Kind: Lines, Labelled: true, Of: &wantFields, Form: "[talkback/out1 -> cue/in1]", Help: "connections as well, never interrupted while changes are made"},
	{Key: "programs", Kind: Settings, Form: "{plate: 7}", Help: "programs of gear"},
	{Key: "settings", Kind: Other, Any: []Field{{Kind: Tree}}, Form: "{squeeze: {threshold: -12 dB}}", Help: "knobs and switches of gear, printed on the recall sheet"},
	{Key: "pictures", Kind: Settings, Form: "{squeeze: pictures/squeeze.jpg}", Help: "photographs of fronts for the recall sheet, beside the session: PNG or JPEG"},
	{Key: "notes", Kind: Text, Form: "Vocal chain as on the first mix.", Help: "what else to know"},
	{Key: "patch", Kind: Record, Of: &contentFields, Form: "{cords: [main/t1 - main/b25]}", Help: "the patch with which it was ready last"},
}}
