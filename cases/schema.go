package cases

import (
	"fmt"
	"reflect"
)

// Schema returns the JSON Schema (2020-12) of case files, made from the types
// they are read into: descriptions, units, ranges and choices. It is for editors;
// the reader itself checks more (units, and what goes together).
func Schema() map[string]any {
	s := schemaOf(reflect.TypeFor[Case](), "")
	s["$schema"] = "https://json-schema.org/draft/2020-12/schema"
	s["title"] = "chainpath case file"
	return s
}

// schemaOf returns the schema of a type that stands in a field with a tag.
func schemaOf(t reflect.Type, tag reflect.StructTag) map[string]any {
	s := map[string]any{}
	switch {
	case t == quantityType:
		s = quantitySchema(tag)
		if tag.Get("exact") != "" { // no repeated readings
			s["anyOf"] = s["anyOf"].([]any)[:2]
		}
	case t.Kind() == reflect.Pointer:
		s = schemaOf(t.Elem(), "")
	case t.Kind() == reflect.Struct:
		s = groupSchema(t)
	case t.Kind() == reflect.Slice:
		item := schemaOf(t.Elem(), tag)
		delete(item, "description")
		if t.Elem() == quantityType { // no repeated readings inside a list
			item["anyOf"] = item["anyOf"].([]any)[:2]
		}
		s = map[string]any{"type": "array", "items": item}
		if tag.Get("one") != "" {
			s = map[string]any{"anyOf": append([]any{s}, item["anyOf"].([]any)...)}
		}
		if tag.Get("ends") != "" {
			s = map[string]any{"anyOf": []any{s, map[string]any{"type": "string", "pattern": endsForm.String()}}}
		}
	case t.Kind() == reflect.Int:
		s["type"] = "integer"
		if lo, hi, ok := rangeOf(tag); ok {
			s["minimum"], s["maximum"] = lo, hi
		}
	case t.Kind() == reflect.Bool:
		s["type"] = "boolean"
	case t.Kind() == reflect.String:
		s["type"] = "string"
		if of := allNames(tag); of != nil {
			s["enum"] = of
		}
	default:
		panic("cases: no schema for " + t.String())
	}
	if doc := tag.Get("doc"); doc != "" {
		s["description"] = doc + unitHint(t, tag)
	}
	return s
}

// unitHint names unit and range of a quantity, for the description.
func unitHint(t reflect.Type, tag reflect.StructTag) string {
	for t.Kind() == reflect.Slice || t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	if t != quantityType {
		return ""
	}
	d, hint := dimensions[tag.Get("dim")], ""
	if d.base != "" {
		hint = "; " + d.base
	}
	if lo, hi, ok := rangeOf(tag); ok {
		hint += fmt.Sprintf(", %s to %s", d.format(lo), d.format(hi))
	}
	return hint
}

func groupSchema(t reflect.Type) map[string]any {
	props, need := map[string]any{}, []string{}
	for i := range t.NumField() {
		f := t.Field(i)
		name := f.Tag.Get("yaml")
		if name == "" {
			continue
		}
		props[name] = schemaOf(f.Type, f.Tag)
		if f.Tag.Get("need") != "" {
			need = append(need, name)
		}
	}
	s := map[string]any{"type": "object", "properties": props, "additionalProperties": false}
	if len(need) > 0 {
		s["required"] = need
	}
	return s
}

// quantitySchema allows a bare number in range, a text with unit and tolerance,
// or repeated readings.
func quantitySchema(tag reflect.StructTag) map[string]any {
	number := map[string]any{"type": "number"}
	if lo, hi, ok := rangeOf(tag); ok {
		number["minimum"], number["maximum"] = lo, hi
	}
	text := map[string]any{"type": "string", "pattern": `^\s*[+-]?([0-9]+\.?[0-9]*|\.[0-9]+)`}
	readings := map[string]any{"type": "array", "items": number, "minItems": 2}
	return map[string]any{"anyOf": []any{number, text, readings}}
}
