package page

import (
	"bayhand/recall/listen"
	"bayhand/recall/words"
)

// note says what is to be known beside the findings.
func (v *heardView) note(a *listen.Answer, say *listen.Wording) {
	add := func(text string) { v.Notes = append(v.Notes, text) }
	for _, f := range a.Followed {
		add(sentence(say.Followed(f)) + ".")
	}
	for _, t := range a.Troubles() {
		add(say.Point(t.Input) + " " + t.Says + ".")
	}
	for _, h := range a.Heavier() {
		add(say.Heavier(h) + ".")
	}
	for _, h := range a.Found.Unexplained {
		add(words.Put("Not explained: {reading}.", "reading", say.Heard(h)))
	}
	for _, s := range a.Strays {
		add(words.Put("{output} is heard at {input} although it was not to play.", "output", say.Point(s.Output), "input", say.Point(s.Input)))
	}
	if a.Quieter != "" {
		add(words.Put("It was listened to quietly alone: {reason}.", "reason", say.Said(a.Quieter)))
	}
	if len(a.Learnt.Doubted) > 0 {
		add(words.Put("Only reported from now on: {cords}.", "cords", say.Cords(a.Learnt.Doubted)))
	}
}
