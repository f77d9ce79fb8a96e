package web_test

import (
	"testing"

	"pgregory.net/rapid"

	"bayhand/recall/web"
)

// The example of RFC 8187, 3.2.3, is "UTF-8”%c2%a3%20and%20%e2%82%ac%20rates".
func TestTextsInHeaders(t *testing.T) {
	for text, want := range map[string]string{
		"":              "",
		"ann at desk":   "ann at desk",
		"£ and € rates": "UTF-8''%C2%A3%20and%20%E2%82%AC%20rates",
		"Zoë":           "UTF-8''Zo%C3%AB",
		"UTF-8''x":      "UTF-8''UTF-8%27%27x",
	} {
		if got := web.HeaderText(text); got != want {
			t.Errorf("%q is written %q, want %q", text, got, want)
		}
	}
	for value, want := range map[string]string{
		"UTF-8''%c2%a3%20and%20%e2%82%ac%20rates": "£ and € rates",
		"utf-8''Zo%C3%AB":                         "Zoë",
		"UTF-8''%zz":                              "UTF-8''%zz",
		"ann":                                     "ann",
	} {
		if got := web.TextOf(value); got != want {
			t.Errorf("%q is read %q, want %q", value, got, want)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.String().Draw(t, "text")
		if got := web.TextOf(web.HeaderText(text)); got != text {
			t.Errorf("%q comes back as %q", text, got)
		}
	})
}
