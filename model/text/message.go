package text

import (
	"encoding/hex"
	"slices"
	"strings"

	"bayhand/model/device"
)

func (d *deviceReader) messages(n *node) {
	if n == nil {
		return
	}
	for _, e := range n.entries {
		word := d.wordOf(e.key, roleWords)
		role := device.RoleNamed(word)
		if role == device.RoleUnknown {
			continue
		}
		d.exchanges[role] = e.key
		d.device.Exchanges = append(d.device.Exchanges, d.exchange(role, d.fields(e.value, exchangeFields)))
	}
	for role, other := range map[device.Role]device.Role{device.Mute: device.Unmute, device.Unmute: device.Mute} {
		if d.exchanges[role] != nil && d.exchanges[other] == nil {
			d.report(d.placeOf(d.exchanges[role]), "missing", "", "a device with the message %s needs the message %s", role, other)
		}
	}
	needs := map[device.Switching][]device.Role{device.ByCrosspoint: {device.Close, device.Open}, device.ByOutput: {device.Set}}
	for _, role := range needs[d.device.Switching] {
		if d.exchanges[role] == nil {
			d.report(d.placeOf(n), "missing", "", "a device that switches %s needs the message %s", d.device.Switching, role)
		}
	}
}

func (d *deviceReader) exchange(role device.Role, v values) device.Exchange {
	e := device.Exchange{Role: role, Batch: v.number("batch", 1)}
	m := &messageReader{reader: d.reader, file: d, role: role, batch: e.Batch}
	e.Largest = v.number("largest", 0)
	for key, into := range answersOf(&e) {
		*into = m.fieldList(v.of[key])
		d.arrives(v.of[key], *into, key)
	}
	m.sent = true
	e.Send = m.fieldList(v.of["send"])
	d.sends[role] = v.of["send"]
	if n := len(e.Send); n > 0 && (e.Send[0].Kind == device.Pause || e.Send[n-1].Kind == device.Pause) {
		d.report(d.placeOf(v.of["send"]), "field", "write pacing: {gap: 50 ms} for a rest between messages", "a pause stands between two parts of what is sent, and not at its beginning or end")
	}
	switch {
	case v.node == nil || v.node.shape != mapping:
	case unasked(role) && v.has("send"):
		d.report(d.placeOf(v.of["send"]), "report", "take it out", "a %s is what the device sends by itself; nothing is sent for it", role)
	case unasked(role) && v.node.field("answer") == nil:
		d.report(d.placeOf(v.node), "missing", "", "the message %s needs the key answer", role)
	case !unasked(role) && v.node.field("send") == nil:
		d.report(d.placeOf(v.node), "missing", "", "the message %s needs the key send", role)
	case slices.Contains(questions, role) && v.node.field("answer") == nil:
		d.report(d.placeOf(v.node), "missing", "", "the message %s asks, and needs the key answer", role)
	case role == device.Errors && !device.Carries(e.Answer, "code"):
		d.report(d.placeOf(v.of["answer"]), "missing", "write {number: code, base: decimal}", "the answer of errors needs a number that is the code")
	default:
		d.aboutOne(e, v)
	}
	return e
}

// answersOf are the keys of the answers, each with where it belongs.
func answersOf(e *device.Exchange) map[string]*[]device.Field {
	return map[string]*[]device.Field{
		"answer": &e.Answer, "end": &e.End, "refusal": &e.Refusal, "busy": &e.Busy, "wait": &e.Wait, "cancelled": &e.Cancelled,
	}
}

// unasked says whether the device sends the message by itself.
func unasked(role device.Role) bool { return role == device.Report || role == device.Notice }

// questions are the messages that are sent for their answer.
var questions = []device.Role{device.Identify, device.Read, device.ReadOutput, device.ReadRow, device.Settle, device.Errors}

// aboutOne checks the questions about one output.
func (d *deviceReader) aboutOne(e device.Exchange, v values) {
	if e.Role != device.ReadOutput && e.Role != device.ReadRow || d.mistakes() > 0 {
		return
	}
	if !device.Carries(e.Send, "output") && !lists(e.Send, device.Inputs) {
		d.report(d.placeOf(v.of["send"]), "missing", "write {number: output, base: decimal}", "the message %s asks about one output, and does not say which", e.Role)
	}
	if e.Role == device.ReadOutput && !device.Carries(e.Answer, "input") {
		d.report(d.placeOf(v.of["answer"]), "missing", "write {number: input, base: decimal}", "the answer of read-output needs a number that is the input")
	}
	if e.Role == device.ReadRow && !device.Carries(e.Answer, "closed") {
		d.report(d.placeOf(v.of["answer"]), "missing", "write {each: inputs, of: [{number: closed, base: decimal}]}", "the answer of read-row says of each input whether it is closed")
	}
}

// lists says whether a channel list that runs through that stands among the
// fields.
func lists(fields []device.Field, over device.Over) bool {
	return slices.ContainsFunc(fields, func(f device.Field) bool {
		return f.Kind == device.Channels && f.Over == over || lists(f.Of, over)
	})
}

// messageReader reads the fields of one message.
type messageReader struct {
	*reader
	file *deviceReader // of the file that the message stands in
	role device.Role
	// sent is true for what goes to the device.
	sent  bool
	batch int
	// inside is true inside an each, packing inside a packed, json inside an object, whole inside
	// what is counted or written in another form once all of it is there.
	inside, packing, json, whole bool
}

// wholeList reads the fields of which such a thing is made.
func (m *messageReader) wholeList(n *node) []device.Field {
	inner := *m
	inner.whole = true
	return inner.fieldList(n)
}

func (m *messageReader) fieldList(n *node) []device.Field {
	if n == nil {
		return nil
	}
	if n.shape != list || len(n.items) == 0 {
		m.fault(n, "shape", `write ["READ\n"]`, "a message is a list of fields")
		return nil
	}
	var fields []device.Field
	for _, item := range n.items {
		if f, ok := m.field(item); ok {
			fields = append(fields, f)
		}
	}
	if len(fields) == len(n.items) {
		m.checkSeparable(n, fields)
	}
	return fields
}

func (m *messageReader) field(n *node) (device.Field, bool) {
	switch {
	case n.shape == scalar && n.text != "":
		if !m.isASCII(n, 0, n.text) {
			return device.Field{}, false
		}
		return device.Field{Kind: device.Literal, Bytes: []byte(n.text)}, true
	case n.shape != mapping:
		m.fault(n, "shape", `write "text", or {number: output, base: decimal}`, "a field of a message is text, or a mapping that says what stands there")
		return device.Field{}, false
	}
	before := m.mistakes()
	v := m.fields(n, messageFields)
	kinds := slices.DeleteFunc(messageFields.Keys()[:len(fieldKeys)], func(key string) bool { return !v.has(key) })
	if len(kinds) != 1 {
		if m.mistakes() == before {
			m.fault(n, "field", "", "a field is one of %s; %d of them stand here", oneOf(messageFields.Keys()[:len(fieldKeys)]), len(kinds))
		}
		return device.Field{}, false
	}
	for _, e := range n.entries {
		if v.has(e.key.text) && e.key.text != kinds[0] && !slices.Contains(fieldKeys[kinds[0]], e.key.text) {
			m.fault(e.key, "field", "take it out", "%s does not go with %s", e.key.text, kinds[0])
		}
	}
	f := m.kinds(kinds[0], v)
	return f, m.mistakes() == before
}

func (m *messageReader) kinds(kind string, v values) device.Field {
	switch kind {
	case "bytes":
		return m.literal(v)
	case "number":
		return m.number(v)
	case "text":
		return m.textField(v)
	case "each":
		return m.each(v)
	case "block":
		f := device.Field{Kind: device.Block, Of: m.wholeList(v.of["block"]), Bare: v.flag("bare", false)}
		if m.inside {
			m.fault(v.node, "field", "", "a block cannot stand inside each")
		}
		return f
	case "check":
		return m.checked(v)
	case "hex":
		return device.Field{Kind: device.Hexed, Of: m.wholeList(v.of["hex"])}
	case "packed":
		return m.packed(v)
	case "either":
		return m.either(v)
	case "nibbles":
		return device.Field{Kind: device.Nibbles, Of: m.wholeList(v.of["nibbles"]), First: ends[v.word("first")]}
	case "sevens":
		return device.Field{Kind: device.Sevens, Of: m.wholeList(v.of["sevens"]), First: ends[v.word("first")], Order: ends[v.word("order")]}
	case "bitmap":
		return m.bitmap(v)
	case "json":
		return m.object(v)
	case "pause":
		return m.pause(v)
	}
	return m.channels(v)
}

func (m *messageReader) channels(v values) device.Field {
	f := device.Field{Kind: device.Channels, Over: device.Changes}
	if v.word("channels") == "inputs" {
		f.Over = device.Inputs
		if !m.sent || m.role != device.ReadRow {
			m.fault(v.of["channels"], "field", "write channels: changes", "every input of one output is listed in what read-row sends only")
		}
	}
	if m.inside {
		m.fault(v.node, "field", "", "a channel list cannot stand inside each; it holds all crosspoints")
	}
	return f
}

func (m *messageReader) number(v values) device.Field {
	f := device.Field{Kind: device.Number, Value: v.text("number"), Width: v.number("width", 0), Add: v.number("add", 0)}
	f.Base = device.BaseNamed(v.word("base"))
	f.Bits, f.Words, f.Plus = m.bits(v, f.Base), m.words(v), m.plus(v)
	m.padding(&f, v)
	f.Off, f.Gang = m.off(v, f), m.gang(v, f)
	m.numberBase(f, v)
	if f.Width > 0 && f.Base.Bytes() > 0 {
		m.fault(v.of["width"], "field", "take it out", "a number of a fixed number of bytes has no width")
	}
	legal := append(m.legalNumbers(), m.file.parameterNames(true)...)
	if !slices.Contains(legal, f.Value) {
		m.fault(v.of["number"], "word", maybe(f.Value, legal), "%s is no number that is known here; legal are %s", quoteText(f.Value), oneOf(legal))
	}
	if m.sent && m.batch > 1 && !m.inside && (f.Value == "output" || f.Value == "input") {
		m.fault(v.of["number"], "field", "write it inside {each: changes, of: [...]}, or batch: 1", "a message that carries %d at once has no single %s", m.batch, f.Value)
	}
	return f
}

func (m *messageReader) textField(v values) device.Field {
	f := device.Field{Kind: device.Text, Value: v.text("text"), Width: v.number("width", 0)}
	m.padding(&f, v)
	legal := m.file.parameterNames(false)
	switch {
	case !m.sent:
		legal = append(legal, "identity", "message")
	case m.role == device.LabelOutput || m.role == device.LabelInput:
		legal = append(legal, "label")
	}
	if !slices.Contains(legal, f.Value) {
		m.fault(v.of["text"], "word", maybe(f.Value, legal), "%s is no text that is known here; legal are %s", quoteText(f.Value), oneOf(legal))
	}
	return f
}

func (m *messageReader) each(v values) device.Field {
	f := device.Field{Kind: device.Each, Separator: m.raw(v.of["separator"]), None: m.raw(v.of["none"])}
	switch v.word("each") {
	case "changes":
		f.Over = device.Changes
	case "outputs":
		f.Over = device.Outputs
	case "inputs":
		f.Over = device.Inputs
	case "gangs":
		f.Over = device.EachGang
	}
	switch {
	case f.Over == device.EachGang && m.file.device.Gangs.Of == 0:
		m.fault(v.of["each"], "field", "write gangs: 2 above", "the description does not say how many outputs a gang has")
	case m.inside:
		m.fault(v.node, "field", "", "each cannot stand inside each")
	case f.Over == device.Inputs && (m.sent || m.role != device.ReadRow && m.role != device.Read):
		m.fault(v.of["each"], "field", "", "each input is answered to read-row and read only")
	case m.sent && (f.Over == device.Outputs || f.Over == device.EachGang):
		m.fault(v.of["each"], "field", "write each: changes", "a message that is sent runs through changes only; all outputs at once would move those that nobody asked to move")
	case v.node.field("of") == nil:
		m.fault(v.node, "missing", "write of: [{number: output, base: decimal}]", "each needs the key of")
	}
	inner := *m
	inner.inside = true
	f.Of = inner.fieldList(v.of["of"])
	return f
}

// hexBytes reads bytes in hexadecimal, with or without spaces; at is where the
// text begins in the scalar.
func (r *reader) hexBytes(n *node, text string, at int) []byte {
	bytes, err := hex.DecodeString(strings.ReplaceAll(text, " ", ""))
	if err != nil || len(bytes) == 0 {
		r.faultIn(n, at, "bytes", "write F0 7D", "%s are no bytes; two hexadecimal digits stand for each", quoteText(text))
		return nil
	}
	return bytes
}
