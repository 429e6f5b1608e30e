package cli

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What people read of rooms: how much is clear where more was wished, without a hazard; that
// parts touch, once; and which rooms nobody measured.
func TestRoomsAreToldInWords(t *testing.T) {
	write := func(more string) string {
		path := filepath.Join(t.TempDir(), "rooms.yaml")
		text := "chainpath: 1\nspeeds: 9\nfront: {line: 47.5, rings: [40]}\nrear: {line: 43.5, dropout_gap: 5, cogs: [11, 13, 15, 17, 20, 23, 26, 30, 34]}\n"
		require.NoError(t, os.WriteFile(path, []byte(text+more), 0o600))
		return path
	}
	less := write("chainstay: {gap: 3.8, flex: 6}\n")
	code, out, errs := run("gears", less, "--all")
	require.Zero(t, code, errs)
	out = strings.Join(strings.Fields(out), " ")
	assert.Contains(t, out, "Little room of the chainring to the chainstay in 40/11: 3.8 mm, 6 wanted")
	assert.Contains(t, out, "chainring 3.8 mm clear of the chainstay, 6 wanted")
	assert.Contains(t, out, "Least clearance of the chainring to the chainstay: -2.20 mm in 40/11 (3.80 mm less the 6 mm that are to be kept)")
	assert.NotContains(t, out, "hits stay")
	assert.NotContains(t, out, "Worst")
	assert.Contains(t, out, "Clearance not worked out: no gap to spokes or tyre given.")
	code, _, errs = run("gears", less, "--fail-on", "meets_stay")
	assert.Zero(t, code, errs)

	touches := write("chainstay: {gap: 0}\n")
	code, out, errs = run("gears", touches)
	require.Zero(t, code, errs)
	out = strings.Join(strings.Fields(out), " ")
	assert.Contains(t, out, "The chain or chainring will probably touch the chainstay in every gear")
	assert.NotContains(t, out, "Little room")
	code, _, _ = run("gears", touches, "--fail-on", "meets_stay")
	assert.NotZero(t, code)

	code, out, errs = run("gears", less, "--format", "json")
	require.Zero(t, code, errs)
	var doc struct {
		Rooms []string `json:"rooms_unknown"`
		Gears []struct {
			Chance   map[string]*float64 `json:"chance"`
			Verdicts []struct {
				Code  string `json:"code"`
				Words string `json:"words"`
			} `json:"verdicts"`
		} `json:"gears"`
	}
	require.NoError(t, json.Unmarshal([]byte(out), &doc))
	assert.Equal(t, []string{"wheel", "tyre"}, doc.Rooms)
	assert.Nil(t, doc.Gears[0].Chance["meets_wheel"])
	assert.Nil(t, doc.Gears[0].Chance["rubs_tyre"])
	assert.Less(t, *doc.Gears[0].Chance["meets_stay"], 0.01)
	assert.Less(t, *doc.Gears[0].Chance["meets_dropout"], 0.01)
	seen := false
	for _, v := range doc.Gears[0].Verdicts {
		if v.Code == "hits_stay" {
			seen = true
			assert.Equal(t, "less room than wished beside the chainstay", v.Words)
		}
	}
	assert.True(t, seen)
}

// However full the screen is, the rooms that nobody measured are named, as the tyre's alone is given.
func TestMissingRoomsAreNamedOnAFullScreen(t *testing.T) {
	path := filepath.Join(t.TempDir(), "b.yaml")
	text := "chainpath: 1\nspeeds: 11\nfront: {line: 43.5, rings: [34, 50]}\nrear: {line: 45, cogs: 11-34}\ntyre: {size: 28-622}\n"
	require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
	for _, c := range []struct{ name, want string }{{"road", "Clearance not worked out: no gap to spokes. Next: "}, {path, "room given: 3 (--all)."}} {
		code, out, errs := run("gears", c.name)
		require.Zero(t, code, errs)
		assert.Contains(t, out, c.want)
	}
}
