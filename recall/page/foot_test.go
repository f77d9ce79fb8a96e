package page

import (
	"slices"
	"strings"
	"testing"

	dom "github.com/chromedp/cdproto/page"

	"bayhand/model/plan"
	"bayhand/recall/keep"
)

// stubs stand in a browser for what the machine of a test lacks: a MIDI input, a voice
// and a sound device. They write down what the page asks of them. The clock of the page
// is ahead by as much as a test says.
const stubs = `
window.ahead = 0; const clock = performance.now.bind(performance); performance.now = () => clock() + ahead;
window.spoken = []; window.clicks = 0; window.buzzes = 0; window.asks = 0;
window.pedal = { onmidimessage: null };
Object.defineProperty(navigator, "requestMIDIAccess", { value: async () => { asks++; return { inputs: new Map([["1", pedal]]) }; } });
Object.defineProperty(navigator, "vibrate", { value: () => (buzzes++, true) });
window.send = (...bytes) => pedal.onmidimessage({ data: new Uint8Array(bytes) });
window.SpeechSynthesisUtterance = class { constructor(text) { this.text = text; } };
Object.defineProperty(window, "speechSynthesis", { value: { cancel() {}, speak: (said) => spoken.push(said.text) } });
window.AudioContext = class {
	currentTime = 0;
	destination = {};
	createOscillator() { return { frequency: {}, connect: (to) => to, start() { clicks++; }, stop() {} }; }
	createGain() { return { gain: { setValueAtTime() {}, exponentialRampToValueAtTime() {} }, connect: (to) => to }; }
};`

// A foot switch that sends MIDI ticks, and only the note or pedal of one's own choice
// does, going down (MIDI 1.0 Detailed Specification 4.2: 9n with a velocity, 8n and 9n
// with none being note off; Bn from 64 on for a switch). Each move is read aloud, once,
// the next one while the last is ticked; click, buzz and voice can be turned off and
// stay so.
func TestFootSwitchAndVoice(t *testing.T) {
	looks(t)
	t.Parallel()
	h := handsWanted(t)
	v := visit(t, desktop)
	v.stubbed()
	v.open(h, "/hands")
	if asked := v.value(`asks + ""`); asked != "0" {
		t.Errorf("MIDI is asked for %s times before anybody chose it", asked)
	}
	v.js(`document.querySelector("#by-foot").open = true`)
	v.click("#with-voice")
	v.click("#learn-note")
	v.until(`pedal.onmidimessage`)
	v.js(`send(0x80, 60, 64); send(0x90, 61, 0); send(0xb0, 64, 20); send(0xf8)`)
	v.js(`send(0xb3, 64, 127)`)
	v.until(`document.querySelector("#learned-note").innerText === "controller 64"`)
	first := v.next()
	v.js(`send(0x93, 64, 100); send(0xb3, 65, 127); send(0xb3, 64, 0)`)
	if now := v.value(`document.querySelector("#room").dataset.next`); now != first || v.value(`clicks + ""`) != "0" {
		t.Errorf("another note, another pedal, or one that goes up ticks the move: %s after %s", now, first)
	}
	v.js(`send(0xb3, 64, 127); send(0xb3, 64, 0); send(0xb3, 64, 127)`)
	v.goesOn(first)
	second := v.next()
	if done := slices.DeleteFunc(h.status().Done, func(d keep.DoneStep) bool { return d.By != plan.Person }); len(done) != 1 || done[0].ID != first {
		t.Errorf("a pedal that bounces ticked %v, and not %s alone", done, first)
	}
	verb, place := strings.ToLower(v.text("#move .verb")), v.value(`document.querySelector("#move .place").textContent`)
	said := v.words(`spoken`)
	if len(said) == 0 || !contains(strings.ToLower(said[len(said)-1]), verb, place) {
		t.Errorf("of %s %s is said %q", verb, place, said)
	}
	for i := range said {
		if i > 0 && said[i] == said[i-1] {
			t.Errorf("it is said twice: %q", said[i])
		}
	}
	if felt := v.value("clicks + ' ' + buzzes"); felt != "1 1" {
		t.Errorf("of one tick there are clicks and buzzes: %s", felt)
	}
	// What is turned off stays off, and the pedal stays known when the page comes anew.
	for _, what := range []string{"#with-voice", "#with-click", "#with-buzz"} {
		v.click(what)
	}
	v.open(h, "/hands")
	v.until(`pedal.onmidimessage && document.querySelector("#learned-note").textContent === "controller 64"`)
	v.nextPress()
	v.js(`send(0xb0, 64, 64)`)
	v.goesOn(second)
	if felt := v.value("clicks + ' ' + buzzes + ' ' + spoken.length"); felt != "0 0 0" {
		t.Errorf("what was turned off is heard and felt: %s", felt)
	}
	v.calm()
}

// stubbed puts the stubs into each page that is opened from now on.
func (v *visitor) stubbed() {
	v.t.Helper()
	command(v.t, v.ctx, dom.AddScriptToEvaluateOnNewDocument, dom.AddScriptToEvaluateOnNewDocumentParams{Source: stubs})
}
