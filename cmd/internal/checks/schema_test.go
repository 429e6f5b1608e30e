package checks

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v3"

	"chainpath/cases"
)

// validator compiles the schema with a general JSON Schema library.
func validator(t *testing.T) *jsonschema.Schema {
	text, err := json.Marshal(cases.Schema())
	require.NoError(t, err)
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	require.NoError(t, err)
	c := jsonschema.NewCompiler()
	require.NoError(t, c.AddResource("case.json", doc))
	s, err := c.Compile("case.json")
	require.NoError(t, err)
	return s
}

// asJSON turns YAML into what the validator takes.
func asJSON(t *testing.T, text []byte) any {
	var v any
	require.NoError(t, yaml.Unmarshal(text, &v))
	data, err := json.Marshal(v)
	require.NoError(t, err)
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
	require.NoError(t, err)
	return doc
}

func TestShippedCasesFitTheSchema(t *testing.T) {
	s := validator(t)
	for _, name := range cases.Shipped() {
		text, err := cases.ShippedText(name)
		require.NoError(t, err)
		assert.NoError(t, s.Validate(asJSON(t, text)), name)
	}
}

// What the schema can tell, it refuses as the reader does.
func TestSchemaRefusesBadCases(t *testing.T) {
	s := validator(t)
	for _, name := range []string{"unknown-field", "unknown-top", "out-of-range", "missing-rear", "not-a-number", "text-for-list", "float-teeth", "few-teeth", "choice", "bool", "version", "one-reading", "symptom-what"} {
		text, err := os.ReadFile(filepath.Join("../../../testdata/bad", name+".yaml"))
		require.NoError(t, err)
		assert.Error(t, s.Validate(asJSON(t, text)), name)
	}
}
