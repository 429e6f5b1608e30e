package cases

import (
	"reflect"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// at goes down a schema by its keys.
func at(t *testing.T, s map[string]any, keys ...string) map[string]any {
	for _, k := range keys {
		next, ok := s[k].(map[string]any)
		require.True(t, ok, "%v: no %s", keys, k)
		s = next
	}
	return s
}

// The schema says of fields what the case's format says: kinds, ranges, choices, needs, units.
func TestSchemaSaysWhatTheFormatSays(t *testing.T) {
	s := Schema()
	assert.Equal(t, "https://json-schema.org/draft/2020-12/schema", s["$schema"])
	assert.Equal(t, []string{"chainpath", "front", "rear"}, s["required"])
	assert.Equal(t, false, s["additionalProperties"])
	assert.NotContains(t, s, "description")

	stay := at(t, s, "properties", "frame", "properties", "stay")
	assert.Equal(t, "chainstay length, bottom-bracket centre to axle centre; left out, a usual one, 430 ± 25; mm, 200 mm to 2000 mm", stay["description"])
	kinds := stay["anyOf"].([]any)
	require.Len(t, kinds, 3, "a number, a text or readings")
	assert.Equal(t, map[string]any{"type": "number", "minimum": 200.0, "maximum": 2000.0}, kinds[0])
	text := regexp.MustCompile(kinds[1].(map[string]any)["pattern"].(string))
	for words, ok := range map[string]bool{"17 in": true, " -3": true, ".5 mm": true, "± 3": false, "wide": false, "+4. mm": true} {
		assert.Equal(t, ok, text.MatchString(words), words)
	}
	assert.Equal(t, map[string]any{"type": "array", "items": kinds[0], "minItems": 2}, kinds[2])

	ratio := at(t, s, "properties", "riding", "properties", "ratio")
	assert.Len(t, ratio["anyOf"], 2, "what is exact has no readings")
	assert.Equal(t, "ratio the rider likes best, chainring teeth to cog teeth, 0.2 to 8", ratio["description"])

	rings := at(t, s, "properties", "front", "properties", "rings")
	assert.Equal(t, "array", rings["type"])
	assert.Equal(t, map[string]any{"type": "integer", "minimum": 9.0, "maximum": 120.0}, rings["items"])
	assert.Equal(t, "teeth of each chainring, smallest and innermost first", rings["description"])
	lines := at(t, s, "properties", "front", "properties", "ring_lines", "items")
	assert.Len(t, lines["anyOf"], 2, "no readings inside a list")
	assert.NotContains(t, lines, "description")
	assert.Contains(t, at(t, s, "properties", "front", "properties", "ring_lines")["description"], "; mm, 10 mm to 200 mm")

	cogs := at(t, s, "properties", "rear", "properties", "cogs")
	either := cogs["anyOf"].([]any)
	require.Len(t, either, 2, "a list, or its ends")
	assert.Equal(t, "array", either[0].(map[string]any)["type"])
	ends := either[1].(map[string]any)
	assert.Equal(t, "string", ends["type"])
	assert.True(t, regexp.MustCompile(ends["pattern"].(string)).MatchString("11-42"))
	assert.NotEmpty(t, cogs["description"])

	form := at(t, s, "properties", "front", "properties", "form")
	assert.Equal(t, []string{"plain", "wide_narrow"}, form["enum"])
	assert.Equal(t, "string", form["type"])
	title := at(t, s, "properties", "title")
	assert.NotContains(t, title, "enum")
	format := at(t, s, "properties", "chainpath")
	assert.Equal(t, [3]any{"integer", 1.0, 1.0}, [3]any{format["type"], format["minimum"], format["maximum"]})
	assert.Equal(t, "boolean", at(t, s, "properties", "chain", "properties", "half_link")["type"])
	idler := at(t, s, "properties", "idler")
	assert.Equal(t, "object", idler["type"], "what may be left out is the group itself")
	assert.Equal(t, "wheel on the frame that the top run passes over between cog and chainring", idler["description"])
	assert.NotContains(t, at(t, s, "properties", "riding"), "required")
	assert.Equal(t, []string{"ring", "cog", "share"}, at(t, s, "properties", "riding", "properties", "shares", "items")["required"])
}

// Every field of the case is in the schema, under its name, and no other.
func TestSchemaHasEveryField(t *testing.T) {
	count := 0
	var walk func(typ reflect.Type, s map[string]any, path string)
	walk = func(typ reflect.Type, s map[string]any, path string) {
		for typ.Kind() == reflect.Pointer {
			typ = typ.Elem()
		}
		if typ.Kind() == reflect.Slice {
			if items, ok := s["items"].(map[string]any); ok && typ.Elem().Kind() == reflect.Struct && typ.Elem() != quantityType {
				walk(typ.Elem(), items, path+"[]")
			}
			return
		}
		if typ.Kind() != reflect.Struct || typ == quantityType {
			return
		}
		props := at(t, s, "properties")
		names := fieldNames(typ)
		assert.Len(t, props, len(names), path)
		for _, name := range names {
			f, _ := fieldNamed(typ, name)
			count++
			assert.NotEmpty(t, at(t, props, name)["description"], path+"."+name)
			walk(f.Type, at(t, props, name), path+"."+name)
		}
	}
	walk(reflect.TypeFor[Case](), Schema(), "")
	assert.Greater(t, count, 150)
}
