package page

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestCompileSaysWhatIsMissing(t *testing.T) {
	silent := func(words string) { t.Error(words) }
	_, err := Compile(t.Context(), t.TempDir(), silent)
	assert.ErrorIs(t, err, ErrNoSource)
	_, err = Compile(t.Context(), filepath.Join(t.TempDir(), "nosuch"), silent)
	assert.ErrorIs(t, err, ErrNoSource)
	ended, end := context.WithCancel(t.Context())
	end()
	_, err = Compile(ended, "../../..", silent)
	assert.ErrorIs(t, err, context.Canceled)
	t.Setenv("PATH", "")
	_, err = Compile(t.Context(), "../../..", silent)
	assert.ErrorIs(t, err, ErrNoGo)
}

// A cached engine is taken as it is, and a change of the source makes another name.
func TestEngineIsKept(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "chainpath", "engine-1")
	want := &Engine{[]byte("\x00asm and more"), []byte("loader")}
	keep(want, dir)
	got, err := read(dir)
	require.NoError(t, err)
	assert.Equal(t, want, got)
	keep(&Engine{[]byte("\x00asm of another process"), nil}, dir)
	got, err = read(dir)
	require.NoError(t, err)
	assert.Equal(t, want, got)
	left, err := os.ReadDir(filepath.Dir(dir))
	require.NoError(t, err)
	assert.Len(t, left, 1, "no parts stay")

	one, err := hash("../../..", "go1")
	require.NoError(t, err)
	other, err := hash("../../..", "go2")
	require.NoError(t, err)
	assert.NotEqual(t, one, other)
	copied := t.TempDir()
	for _, d := range []string{"geom", "sim", "cases", "cmd/engine", "cmd/internal/ask", "cmd/internal/engine", "cmd/internal/exchange", "cmd/internal/say", "cmd/internal/show"} {
		require.NoError(t, os.CopyFS(filepath.Join(copied, d), os.DirFS(filepath.Join("../../..", d))))
	}
	for _, f := range []string{"go.mod", "go.sum"} {
		text, err := os.ReadFile(filepath.Join("../../..", f))
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(filepath.Join(copied, f), text, 0o644))
	}
	same, err := hash(copied, "go1")
	require.NoError(t, err)
	assert.Equal(t, one, same)
	require.NoError(t, os.WriteFile(filepath.Join(copied, "geom", "more.go"), []byte("package geom\n"), 0o644))
	changed, err := hash(copied, "go1")
	require.NoError(t, err)
	assert.NotEqual(t, one, changed)
}
