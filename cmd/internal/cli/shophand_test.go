package cli

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A shop's memory is made of two cases and more, each once, and of nothing else.
func TestShopRefuses(t *testing.T) {
	file := filepath.Join(t.TempDir(), "shop")
	for args, want := range map[string]string{
		"trail road --seen 32/51:fine": "--seen with --shop, want observations in the bike files",
		"trail road --write x":         "--write with --shop, want one of them",
		"trail road --from x":          "--from with --shop, want one of them",
		"trail":                        "--shop with one bike, want two and more",
		"trail road trail":             "trail is given twice",
	} {
		code, out, errs := run(append(append([]string{"learn"}, fields(args)...), "--shop", file)...)
		assert.Equal(t, ExitBadInput, code, args)
		assert.Contains(t, errs, want, args)
		assert.Empty(t, out, args)
	}
	assert.NoFileExists(t, file)
}
