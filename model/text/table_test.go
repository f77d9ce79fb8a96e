package text_test

import (
	"testing"

	"bayhand/model/text"
)

// Every field of every kind of file can be explained to a person.
func TestEveryFieldHasHelp(t *testing.T) {
	var walk func(t *testing.T, table text.Table)
	walk = func(t *testing.T, table text.Table) {
		seen := map[string]bool{}
		for _, f := range table.Fields {
			if f.Help == "" || seen[f.Key] {
				t.Errorf("%s has the field %s without help, or twice", table.Name, f.Key)
			}
			seen[f.Key] = true
			if f.Kind == text.Word && len(f.Words) == 0 {
				t.Errorf("%s.%s is a word, and none is legal", table.Name, f.Key)
			}
			if f.Kind == text.Number && f.From >= f.To {
				t.Errorf("%s.%s is a number from %d to %d", table.Name, f.Key, f.From, f.To)
			}
			if f.Of != nil {
				walk(t, *f.Of)
			}
		}
	}
	for _, table := range []text.Table{text.StudioFields(), text.SessionFields(), text.PatchFields(), text.DeviceFields(), text.HouseFields()} {
		walk(t, table)
	}
}
