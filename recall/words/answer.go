package words

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"bayhand/recall/keep"
)

// Taken says of an act that was taken what it does at the bay, and what devices have
// not carried out of it, in a few sentences; empty where there is nothing to say.
func (w *Words) Taken(a keep.Answer) string {
	sentences := []string{"Saved."}
	if a.Does != nil {
		for _, text := range w.Does(*a.Does) {
			sentences = append(sentences, sentence(text)+".")
		}
	}
	if len(a.Waits) > 0 {
		sentences = w.batch(a)
	}
	if len(a.Unfinished) == 0 && len(sentences) == 1 && len(a.Waits) == 0 {
		return ""
	}
	if silent := w.silent(a.Unfinished); len(silent) > 0 {
		sentences = append(sentences, notAnswering(silent))
	}
	for _, u := range a.Unfinished {
		if u.Code != keep.Code(keep.ErrNoAnswer) {
			sentences = append(sentences, sentence(w.Said(u.Message))+".")
		}
	}
	return strings.Join(sentences, " ")
}

// batch says by step what was taken of a batch and what was not.
func (w *Words) batch(a keep.Answer) []string {
	took := "No step was saved."
	switch len(a.Took) {
	case 0:
	case 1:
		took = Put("Step {id} saved.", "id", a.Took[0])
	default:
		took = Put("Steps {ids} saved.", "ids", List(a.Took))
	}
	sentences := []string{took}
	for _, one := range a.Waits {
		var before []string
		for _, b := range one.After {
			text := "step {id}"
			if b.By != "" {
				text = "step {id}, which {matrix} switches"
			}
			before = append(before, Put(text, "id", b.ID, "matrix", w.Owner(b.By)))
		}
		sentences = append(sentences, Put("Step {id} not saved: it comes after {steps}.", "id", one.ID, "steps", List(before)))
	}
	return sentences
}

// notAnswering names matrices that do not answer.
func notAnswering(all []string) string {
	return Put("No answer from {matrices}.", "matrices", List(all))
}

// silent are the matrices that do not answer, as people call them.
func (w *Words) silent(all []keep.Unfinished) []string {
	var names []string
	for _, u := range all {
		if u.Code != keep.Code(keep.ErrNoAnswer) {
			continue
		}
		if called := w.Owner(u.Matrix); !slices.Contains(names, called) {
			names = append(names, called)
		}
	}
	return names
}

// sentence begins with a capital letter.
func sentence(text string) string {
	first, size := utf8.DecodeRuneInString(text)
	return string(unicode.ToUpper(first)) + text[size:]
}
