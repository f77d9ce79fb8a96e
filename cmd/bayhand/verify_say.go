package main

import (
	"fmt"
	"math"
	"slices"

	"bayhand/model/name"
	"bayhand/model/suspect"
	"bayhand/recall/listen"
	"bayhand/recall/words"
)

func (l *listening) wording() *listen.Wording { return listen.In(l.plan.Room.Studio()) }

// warn says what must be said before any sound.
func (l *listening) warn(out *output) {
	for _, line := range []string{
		"Before the sound: loudspeakers and headphones down, headphones off the ears, phantom power off, nobody's hands at the bay.",
		"What is reported of a patch proves nothing about safety. Your ears are the last judge. Follow local codes, and leave mains to licensed people.",
	} {
		for _, part := range wrapped("caution: ", "  ", line) {
			out.complainf("%s\n", part)
		}
	}
	w := l.wording()
	if len(l.plan.Guarded) > 0 {
		for _, part := range wrapped("", "  ", words.Put("No test sound may come to {guarded}.", "guarded", w.PointNames(l.plan.Guarded))) {
			out.complainf("%s\n", part)
		}
	}
	for _, line := range l.leftOutLines(w) {
		out.complainf("%s\n", line)
	}
}

// mostLeftOut is how many outputs that are left out are said one by one.
const mostLeftOut = 4

func (l *listening) leftOutLines(w *listen.Wording) []string {
	var lines []string
	for _, m := range l.plan.Muted {
		how := "which is off (read back)"
		if m.Meanwhile {
			how = "which is switched off for the time, and read back"
		}
		lines = append(lines, wrapped("", "  ", fmt.Sprintf("%s: muted by %s, %s.", w.Owner(m.Gear), w.Point(m.By), how))...)
	}
	if beside := w.Beside(l.plan); beside != "" {
		lines = append(lines, wrapped("", "  ", beside)...)
	}
	for _, g := range l.plan.Room.Studio().Gear {
		muted := slices.ContainsFunc(l.plan.Muted, func(m listen.Silent) bool { return m.Gear == g.Name })
		if out := g.Mute.Output; !out.IsZero() && !muted {
			lines = append(lines, wrapped("", "  ", fmt.Sprintf("%s: could be muted by %s, which no daemon has read back as off.", w.Owner(g.Name), w.Point(out)))...)
		}
	}
	for i, r := range l.plan.LeftOut {
		if i == mostLeftOut {
			return append(lines, fmt.Sprintf("%d more outputs are left out for the same reason.", len(l.plan.LeftOut)-i))
		}
		why := "as reported"
		if r.By != nil {
			why = words.Put("if {mistake}", "mistake", w.Mistake(*r.By))
		}
		lines = append(lines, wrapped("", "  ", fmt.Sprintf("%s is left out: it could come to %s %s.", w.Point(r.Output), w.Point(r.Input), why))...)
	}
	return lines
}

// plannedJSON is what listening would do and see.
type plannedJSON struct {
	Session string         `json:"session"`
	Outputs []name.Point   `json:"outputs"`
	Inputs  []name.Point   `json:"inputs"`
	LeftOut []leftOutJSON  `json:"leftOut"`
	Muted   []mutedJSON    `json:"muted"`
	Silent  []name.Point   `json:"silent"`
	Seconds float64        `json:"seconds"`
	Seen    [][]name.Point `json:"seen"`
	Sure    [][]name.Point `json:"sure"`
	Unseen  [][]name.Point `json:"unseen"`
}

type mutedJSON struct {
	Gear string     `json:"gear"`
	By   name.Point `json:"by"`
	// Meanwhile is gear that is muted while the sound plays.
	Meanwhile bool `json:"meanwhile"`
}

type leftOutJSON struct {
	Output name.Point `json:"output"`
	Input  name.Point `json:"input"`
	Why    string     `json:"why"`
}

// sayPlan says what would be driven, and which cords would be seen.
func (l *listening) sayPlan(out *output) error {
	if err := l.needDriven(); err != nil {
		return err
	}
	w := l.wording()
	scene := l.plan.Scene(l.plan.Inputs())
	j := plannedJSON{Session: l.plan.Session.Name, Outputs: scene.Outputs, Inputs: scene.Inputs, LeftOut: []leftOutJSON{}, Muted: []mutedJSON{},
		Silent: notNil(l.plan.Guarded), Seconds: math.Round(l.plan.Seconds()*10) / 10,
		Seen: [][]name.Point{}, Sure: [][]name.Point{}, Unseen: [][]name.Point{}}
	for _, m := range l.plan.Muted {
		j.Muted = append(j.Muted, mutedJSON{m.Gear, m.By, m.Meanwhile})
	}
	for _, r := range l.plan.LeftOut {
		one := leftOutJSON{Output: r.Output, Input: r.Input, Why: "as reported"}
		if r.By != nil {
			one.Why = w.Mistake(*r.By)
		}
		j.LeftOut = append(j.LeftOut, one)
	}
	var unseen, alike suspect.Answer
	for _, s := range scene.Sights() {
		switch {
		case !s.Seen:
			unseen.Unseen = append(unseen.Unseen, s.Cord)
			j.Unseen = append(j.Unseen, s.Cord.Ends())
			continue
		case s.Sure:
			j.Sure = append(j.Sure, s.Cord.Ends())
		default:
			alike.Seen = append(alike.Seen, s.Cord)
		}
		j.Seen = append(j.Seen, s.Cord.Ends())
	}
	if out.json {
		return out.answer(j)
	}
	out.printf("%d outputs of %s would play for %.1f s, %d inputs be read\n", len(j.Outputs), l.plan.Device.Name, j.Seconds, len(j.Inputs))
	if len(l.plan.Guarded) > 0 {
		out.lines("  ", "    ", words.Put("no test sound may come to {guarded}: turn them down or mute them all the same", "guarded", w.PointNames(l.plan.Guarded)))
	}
	for _, line := range l.leftOutLines(w) {
		out.lines("  ", "    ", line)
	}
	out.printf("%d of %d cords would be seen\n", len(j.Seen), len(j.Seen)+len(j.Unseen))
	if len(alike.Seen) > 0 {
		out.lines("  ", "    ", words.Put("seen, but in another jack they would sound the same: {seen}", "seen", w.Cords(alike.Seen)))
	}
	if len(unseen.Unseen) > 0 {
		out.lines("  ", "    ", words.Put("not to be heard from here: {unseen}", "unseen", w.Cords(unseen.Unseen)))
	}
	return nil
}

// say prints what was found.
func (v *verified) say(out *output) error {
	w := listen.In(v.Plan.Room.Studio())
	if out.json {
		return out.answer(v.JSON())
	}
	out.printf("%s of %s, %s; %.0f s\n", plural(len(v.Scene.Outputs), "output"), v.Plan.Device.Name, plural(len(v.Scene.Inputs), "input"), v.Seconds)
	v.sayFirst(out)
	if p := v.Probed; p != nil {
		out.lines("  ", "    ", fmt.Sprintf("probed: %s for a moment (read back); finding %d is what gives both readings", w.Probed(p), p.Finding+1))
	}
	for _, f := range v.Followed {
		out.lines("  ", "    ", w.Followed(f))
	}
	for i, f := range v.Found.Findings {
		if v.one && i == 1 {
			out.lines("  ", "    ", fmt.Sprintf("%d more, which may be the same thing: mend this first", len(v.Found.Findings)-1))
			break
		}
		sayFinding(out, w, f)
		if a, b, asks := v.AsksNumber(f); asks {
			out.lines("      ", "        ", fmt.Sprintf("to follow the cord by its number: bayhand number %s %s N", a, b))
		}
		if p, ok := v.Scene.Probe(f); ok {
			out.lines("      ", "        ", w.Probe(p))
		}
		if v.recorded && f.Code == suspect.WireOther && len(f.At) > 2 {
			out.lines("      ", "        ", "or the channels of the recording, or of what was played, stand in another order")
		}
	}
	for _, h := range v.Found.Unexplained {
		out.lines("  ", "    ", words.Put("not explained: {heard}", "heard", w.Heard(h)))
	}
	v.sayInputs(out, w)
	v.sayCords(out, w)
	if len(v.Learnt.Measured) > 0 {
		out.lines("  ", "    ", words.Put("measured from now on, and not only reported: {measured}", "measured", w.Cords(v.Learnt.Measured)))
	}
	if len(v.Learnt.Doubted) > 0 {
		out.lines("  ", "    ", words.Put("only reported from now on: {doubted}", "doubted", w.Cords(v.Learnt.Doubted)))
	}
	for _, c := range v.Learnt.Faults {
		out.lines("  ", "    ", fmt.Sprintf("remembered of cord %d, wherever it goes", c.Number))
	}
	if v.whole {
		v.sayPaths(out, w)
	}
	for i, f := range v.Lacking() {
		if i == 0 {
			out.lines("", "  ", words.Put("The patch that this was compared with does not give {name}:", "name", v.Plan.Session.Name))
		}
		if i < mostCauses {
			out.lines("  ", "    ", f.String())
		}
	}
	if v.AsItShould() {
		out.lines("", "  ", "As far as can be heard from here, the room is as reported. What was not seen is for the ear.")
	}
	return nil
}

func (v *verified) sayFirst(out *output) {
	w := listen.In(v.Plan.Room.Studio())
	for _, m := range v.Plan.Muted {
		out.lines("  ", "    ", fmt.Sprintf("%s muted by %s (read back)", w.Owner(m.Gear), w.Point(m.By)))
	}
	if v.Nothing {
		out.lines("  ", "    ", "no output was heard at any input: was the test sound played, and were its inputs recorded?")
	}
	switch {
	case v.Halted != nil:
		out.lines("  ", "    ", words.Put("the louder pass: {quieter}", "quieter", v.Quieter))
	case v.Quieter != "":
		out.lines("  ", "    ", words.Put("no louder pass was played: {quieter}", "quieter", v.Quieter))
	}
	if v.Shift != 0 {
		out.lines("  ", "    ", fmt.Sprintf("all levels are %+.1f dB off together, as if it was played at another level; that is taken off", v.Shift))
	}
	if c := v.Reading.Clock; c > 1 || c < -1 {
		out.lines("  ", "    ", fmt.Sprintf("the recorder's clock ran %+.1f parts in a million beside the player's", c))
	}
	if left := v.notRecorded(); len(left) > 0 {
		out.lines("  ", "    ", words.Put("not recorded, so that nothing is known of them: {inputs}", "inputs", w.Runs(left)))
	}
	for _, s := range v.Strays {
		out.lines("  ", "    ", fmt.Sprintf("%s is heard at %s although it was not to play: the recording is of other outputs, or its channels stand in another order", s.Output, s.Input))
	}
}

// sayInputs says what is wrong at inputs as a whole, and what may hang on their lines.
func (v *verified) sayInputs(out *output, w *listen.Wording) {
	for _, t := range merged(v.Troubles()) {
		sentence := "{inputs} {trouble}"
		if len(t.at) > 1 {
			sentence = "{inputs}: each {trouble}"
		}
		out.lines("  ", "    ", words.Put(sentence, "inputs", w.Runs(t.at), "trouble", t.says))
	}
	for _, h := range v.Heavier() {
		out.lines("  ", "    ", w.Heavier(h))
	}
}

// hadBy is what is wrong at several inputs alike.
type hadBy struct {
	says string
	at   []name.Point
}

// merged are troubles with all inputs that have the same.
func merged(troubles []listen.Trouble) []hadBy {
	var all []hadBy
	for _, t := range troubles {
		n := slices.IndexFunc(all, func(s hadBy) bool { return s.says == t.Says })
		if n < 0 {
			n, all = len(all), append(all, hadBy{says: t.Says})
		}
		all[n].at = append(all[n].at, t.Input)
	}
	return all
}

// notRecorded are the inputs of the device that the recording does not have.
func (v *verified) notRecorded() []name.Point {
	var all []name.Point
	for _, in := range v.Plan.Device.Sound.Inputs {
		if !slices.Contains(v.Scene.Inputs, in.Port) {
			all = append(all, in.Port)
		}
	}
	return all
}

// sayCords says how many cords were seen, and which were not.
func (v *verified) sayCords(out *output, w *listen.Wording) {
	seen, unseen := v.Found.Seen, v.Found.Unseen
	if len(seen)+len(unseen) == 0 {
		out.printf("no cord is reported that could be seen\n")
		return
	}
	out.printf("%d of %d cords seen as they should be\n", len(seen), len(seen)+len(unseen))
	if len(unseen) > 0 {
		out.lines("  ", "    ", words.Put("not seen: {cords}", "cords", w.Cords(unseen)))
		if ear := v.ForEar(); len(ear) > 0 {
			out.lines("  ", "    ", fmt.Sprintf("for the ear; once you have followed one: bayhand heard %s %s", ear[0].A, ear[0].B))
		}
	}
}

// sayPaths says every path, and every input's noise and hum.
func (v *verified) sayPaths(out *output, w *listen.Wording) {
	for i, in := range v.Reading.Inputs {
		line := fmt.Sprintf("%s: noise %.1f dBFS", w.Point(v.Scene.Inputs[i]), in.Noise)
		for _, h := range in.Hum {
			line = words.Put("{input}, hum of {frequency} Hz at {level} dBFS", "input", line, "frequency", fmt.Sprintf("%.0f", h.Frequency), "level", fmt.Sprintf("%.1f", h.Level))
		}
		if in.Changes {
			line = words.Put("{input}, changes what it is played", "input", line)
		}
		out.lines("", "  ", line)
		for o, p := range v.Paths[i] {
			if !p.Found {
				continue
			}
			out.lines("  ", "    ", fmt.Sprintf("%s %+.2f dB, polarity %s, %.2f samples late, %.0f to %.0f Hz, coherence %.2f",
				w.Point(v.Scene.Outputs[o]), p.Level, p.Polarity, p.Delay, p.Low, p.High, p.Coherence))
		}
	}
}

// mostCauses is how many other causes are said; a program is told all.
const mostCauses = 4

// sayFinding prints the lines of one finding: what it is, by what it was found, what
// else it may be.
func sayFinding(out *output, w *listen.Wording, f suspect.Finding) {
	first := w.Mistake(f.Mistake)
	if f.Guess {
		first = words.Put("not explained; nearest comes that {cause}, a guess", "cause", first)
	}
	out.lines("  ", "    ", first)
	for _, h := range f.Pairs[:min(len(f.Pairs), 3)] {
		out.lines("      ", "        ", w.Heard(h))
	}
	if more := len(f.Pairs) - 3; more > 0 {
		out.lines("      ", "        ", fmt.Sprintf("and %d more", more))
	}
	for _, m := range f.OrElse[:min(len(f.OrElse), mostCauses)] {
		out.lines("      ", "        ", words.Put("or {cause}: the reading is the same", "cause", w.Mistake(m)))
	}
	if why := w.RuledOut(f); why != "" {
		out.lines("      ", "        ", why)
	}
	if at := f.AtFault(); len(at) > 0 && !f.Guess {
		out.lines("      ", "        ", fmt.Sprintf("if a jack is at fault: bayhand tag %s --faulty", at[0]))
	}
	if more := len(f.OrElse) - mostCauses; more > 0 {
		out.lines("      ", "        ", fmt.Sprintf("or one of %d rarer causes (--json lists them)", more))
	}
}
