package text

// Patterns of scalars, as the readers of quantities and names take them.
const (
	lengthPattern    = `^$|^ *[-+]?[0-9.]+([eE][-+]?[0-9]+)? *(mm|cm|m)$`
	levelPattern     = `^ *[-+]?[0-9.]+([eE][-+]?[0-9]+)? *dB[uV]$`
	impedancePattern = `^ *\+?[0-9.]+([eE][-+]?[0-9]+)? *[kM]?ohm$`
	capacityPattern  = `^ *\+?[0-9.]+([eE][-+]?[0-9]+)? *(pF/m|nF/km)$`
	resistPattern    = `^ *\+?[0-9.]+([eE][-+]?[0-9]+)? *ohm/k?m$`
	ownerPattern     = `^[a-z][a-z0-9-]*$`
	numberPattern    = `^-?[0-9]+$`
)

// anyText is any scalar: what stands in a file is read as written, whatever type
// YAML would give it.
var anyText = object{{"type", []string{"string", "number", "boolean"}}}

func pattern(p string) object { return object{{"type", "string"}, {"pattern", p}} }

// listOf is a list, or nothing.
func listOf(item any) object {
	return object{{"type", []string{"array", "null"}}, {"items", item}}
}

// mapOf is a mapping of names, or nothing.
func mapOf(value any) object {
	return object{{"type", []string{"object", "null"}}, {"additionalProperties", value}}
}

func anyOf(forms ...any) object { return object{{"anyOf", forms}} }

// field is what may stand at a field.
func (s *schemas) field(f Field) object {
	switch f.Kind {
	case Text:
		return anyText
	case Word:
		return object{{"enum", f.Words}}
	case Number:
		return object{{"type", []string{"integer", "string"}}, {"minimum", f.From}, {"maximum", f.To}, {"pattern", numberPattern}}
	case Flag:
		return object{{"enum", []any{true, false, "true", "false"}}}
	case Length:
		return pattern(lengthPattern)
	case Level:
		return pattern(levelPattern)
	case Impedance:
		return pattern(impedancePattern)
	case Capacity:
		return pattern(capacityPattern)
	case Resistivity:
		return pattern(resistPattern)
	case Name:
		return pattern(ownerPattern)
	case Names, Texts:
		return listOf(anyText)
	case Lines:
		return listOf(s.line(f))
	case Lists:
		return listOf(listOf(anyOf(anyText, listOf(anyText))))
	case Settings:
		return mapOf(anyText)
	case Tree:
		leaf := anyOf(anyText, listOf(anyText))
		return mapOf(anyOf(anyText, listOf(anyText), mapOf(leaf)))
	case Ports:
		return mapOf(anyOf(anyText, s.reference(*f.Of)))
	case Groups:
		return mapOf(mapOf(anyOf(anyText, s.reference(*f.Of))))
	case Record:
		return s.reference(*f.Of)
	case Records:
		return mapOf(s.reference(*f.Of))
	case RecordList:
		return listOf(s.reference(*f.Of))
	case Other:
	}
	return s.other(f)
}

// other is a field with several forms; anything where only its reader knows.
func (s *schemas) other(f Field) object {
	var forms []any
	for _, form := range f.Any {
		forms = append(forms, s.field(form))
	}
	switch {
	case len(forms) == 1:
		return forms[0].(object)
	case len(forms) > 1:
		return object{{"anyOf", forms}}
	case f.Of != nil:
		return anyOf(anyText, s.reference(*f.Of))
	}
	return object{}
}

// line is a line of names, in its short form or the long one, with or without a
// name of its own.
func (s *schemas) line(f Field) object {
	if f.Of == nil {
		return anyText
	}
	long := s.reference(*f.Of)
	if !f.Labelled {
		return anyOf(anyText, long)
	}
	names := object{{"not", object{{"enum", f.Of.Keys()}}}}
	named := object{{"type", "object"}, {"propertyNames", names}, {"minProperties", 1}, {"maxProperties", 1}, {"additionalProperties", anyOf(anyText, long)}}
	return anyOf(anyText, long, named)
}
