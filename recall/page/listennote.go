package page

import "bayhand/recall/listen"

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
		add("Not explained: " + say.Heard(h) + ".")
	}
	for _, s := range a.Strays {
		add(say.Point(s.Output) + " is heard at " + say.Point(s.Input) + " although it was not to play.")
	}
	if a.Quieter != "" {
		add("It was listened to quietly alone: " + say.Said(a.Quieter) + ".")
	}
	if len(a.Learnt.Doubted) > 0 {
		add("Only reported from now on: " + say.Cords(a.Learnt.Doubted) + ".")
	}
}
