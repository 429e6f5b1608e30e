package engine

import (
	"encoding/json"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/cases"
)

// Whatever the page's server or worker is sent, it answers with JSON.
func FuzzRequest(f *testing.F) {
	f.Add([]byte(`{"op":"shipped"}`))
	f.Add([]byte(`{"op":"text","name":"trail"}`))
	f.Add([]byte(`{"op":"compute","yaml":"chainpath: 1","edits":[{"path":"front.line","value":"50"}],"window":false}`))
	text, err := cases.ShippedText("single")
	require.NoError(f, err)
	q, err := json.Marshal(request{Op: "compute", YAML: string(text)})
	require.NoError(f, err)
	f.Add(q)
	f.Fuzz(func(t *testing.T, text []byte) {
		if strings.Contains(string(text), `"window"`) && len(text) > 1000 {
			return // right, but it takes a second
		}
		var a answer
		require.NoError(t, json.Unmarshal(Answer(t.Context(), text), &a))
	})
}

// editable are the paths that an edit may set, those of numbers.
var editable = func() (out []string) {
	for _, d := range cases.Defaults(12) {
		if _, _, _, _, err := cases.Bounds(d.Path); err == nil {
			out = append(out, d.Path)
		}
	}
	return append(out, controls...)
}()

// value lays a byte over a field's range, and a little beyond at both ends.
func value(path string, at byte) string {
	lo, hi, _, _, err := cases.Bounds(path)
	if err != nil {
		lo, hi = 9, 80
	}
	v := lo + (hi-lo)*(float64(at)-8)/(255-16)
	if v > 1000 || strings.HasSuffix(path, "]") {
		v = math.Round(v)
	}
	return strconv.FormatFloat(v, 'f', 3, 64)
}

// A shipped case with some of its numbers anywhere in their ranges becomes gears whose
// JSON is whole, or clear messages, one a line.
func FuzzCaseToGears(f *testing.F) {
	f.Add(uint8(0), []byte{1, 100})
	f.Add(uint8(3), []byte{0, 20, 5, 200, 9, 90})
	f.Add(uint8(5), []byte{250, 255, 251, 0, 252, 128})
	f.Add(uint8(0xdb), []byte("\x00(\x7f\xc8kZ"))
	f.Add(uint8('N'), []byte("\xfa\xd0\v\xec\xff''!\x8c\x19Wd\x80\xffF"))
	names := cases.Shipped()
	fixed, cage := slices.Index(names, "fixed"), slices.Index(editable, "tensioner.cage")
	f.Add(uint8(fixed), []byte{byte(cage), 128}) // two mistakes: pushed beside a tensioner, and sag
	f.Fuzz(func(t *testing.T, which uint8, changes []byte) {
		text, err := cases.ShippedText(names[int(which)%len(names)])
		require.NoError(t, err)
		q := request{Op: "compute", YAML: string(text)}
		for i := 0; i+1 < len(changes) && i < 16; i += 2 {
			p := editable[int(changes[i])%len(editable)]
			q.Edits = append(q.Edits, edit{p, value(p, changes[i+1])})
		}
		in, err := json.Marshal(q)
		require.NoError(t, err)
		var a answer
		require.NoError(t, json.Unmarshal(Answer(t.Context(), in), &a))
		if a.Error != "" {
			mistakes := strings.Split(a.Error, "\n") // several are told together, one a line
			assert.LessOrEqual(t, len(mistakes), 21)
			for _, m := range mistakes {
				assert.True(t, strings.HasPrefix(m, "case:"), m)
			}
			assert.NotContains(t, a.Error, "json:", "a number that is not finite")
			return
		}
		require.NotEmpty(t, a.Document.Gears)
		for _, g := range a.Document.Gears {
			assert.NotEmpty(t, g.Verdicts)
			if g.Top.Bend != nil {
				assert.GreaterOrEqual(t, *g.Top.Bend, 0.0)
				assert.Less(t, *g.Top.Bend, 90.0)
			}
		}
		again, err := json.Marshal(request{Op: "compute", YAML: a.YAML})
		require.NoError(t, err)
		var b answer
		require.NoError(t, json.Unmarshal(Answer(t.Context(), again), &b))
		require.Empty(t, b.Error, a.YAML)
		assert.Equal(t, noPlaces(a.Document), noPlaces(b.Document), "what is written reads back as the same bicycle")
	})
}
