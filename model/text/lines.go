package text

import (
	"maps"
	"slices"

	"bayhand/model/measure"
	"bayhand/model/studio"
)

// lineReader reads kinds of line.
type lineReader struct {
	*reader
	file *studioReader
	// named are the kinds, built-in ones among them.
	named map[string]studio.Line
}

// kinds reads the studio's own kinds of line, on top of the built-in ones.
func (r *lineReader) kinds(n *node) {
	r.named = linesOf(r.file.studio)
	r.file.records(n, func(key, value *node) {
		line, builtIn := r.named[key.text]
		line.Name = key.text
		v := r.fields(value, lineFields)
		if !builtIn {
			r.needLineValues(v)
		}
		if word := v.word("kind"); word != "" {
			line.Kind = studio.LineKind(slices.Index(lineKinds, word) + 1)
		}
		r.named[key.text] = lineOf(v, line)
		r.file.studio.Lines = append(r.file.studio.Lines, r.named[key.text])
	})
}

// linesOf are the kinds of line of a studio by name, those built in among them.
func linesOf(s *studio.Studio) map[string]studio.Line {
	lines := map[string]studio.Line{}
	for _, l := range append(studio.BuiltInLines(), s.Lines...) {
		lines[l.Name] = l
	}
	return lines
}

// needLineValues: a line of one's own has nothing to fall back on.
func (r *lineReader) needLineValues(v values) {
	for _, key := range []string{"kind", "level", "max", "source", "load"} {
		if v.node.field(key) == nil {
			f, _ := lineFields.Field(key)
			r.report(r.placeOf(v.node), "missing", form(f), "a kind of line that is not built in needs the key %s", key)
		}
	}
}

// lineOf is a line with the values that a mapping gives anew.
func lineOf(v values, line studio.Line) studio.Line {
	line.Level = measured(v, "level", measure.ParseLevel, line.Level)
	line.Max = measured(v, "max", measure.ParseLevel, line.Max)
	line.Source = measured(v, "source", measure.ParseImpedance, line.Source)
	line.Load = measured(v, "load", measure.ParseImpedance, line.Load)
	line.MinLoad = measured(v, "min-load", measure.ParseImpedance, line.MinLoad)
	line.LevelInto = measured(v, "level-into", measure.ParseImpedance, line.LevelInto)
	line.Balanced, line.Stage = balancedOf(v, line)
	line.Phantom = v.flag("phantom", line.Phantom)
	if v.has("plug") {
		line.Plug = v.text("plug")
	}
	return line
}

// balancedOf reads true, false or the kind of a balanced port. True says no more
// than that it is balanced, and leaves the kind that is known already.
func balancedOf(v values, line studio.Line) (bool, studio.Stage) {
	n := v.of["balanced"]
	if n == nil {
		return line.Balanced, line.Stage
	}
	if stage := slices.Index(stageWords, n.text); n.shape == scalar && stage >= 0 {
		return true, studio.Stages()[stage]
	}
	if n.shape != scalar {
		v.fault(n, "shape", "write balanced: true", "%s stands here; balanced is true, false or the kind", n.shape)
		return line.Balanced, line.Stage
	}
	if !v.flagOr("balanced", line.Balanced, stageWords) {
		return false, studio.StageUnsaid
	}
	return true, line.Stage
}

// line is the kind of line that a scalar names.
func (r *lineReader) line(n *node) studio.Line {
	line, ok := r.named[n.text]
	if !ok {
		legal := slices.Sorted(maps.Keys(r.named))
		r.fault(n, "unknown-name", maybe(n.text, legal), "no kind of line is called %s; there are %s", quoteText(n.text), oneOf(legal))
	}
	return line
}
