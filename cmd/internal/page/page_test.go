package page

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// What the page's script imports at once is asked for at once, and what comes when it is wanted is not.
func TestModulesAreThoseImportedAtOnce(t *testing.T) {
	made := map[string][]byte{
		"main.js":  []byte("import { a } from './a.js';\nimport * as b from './b.js';\nconst c = () => import('./late.js');\n"),
		"a.js":     []byte("import {\n  el,\n} from './lines.js';\nimport { b } from './b.js';\n"),
		"b.js":     []byte("// import { x } from './x.js';\n"),
		"late.js":  []byte("import { d } from './d.js';\n"),
		"lines.js": []byte("export const el = 1;\n"),
		"other.js": []byte(""),
	}
	assert.Equal(t, []string{"a.js", "b.js", "lines.js", "main.js"}, modules(made))
	site := files("site", "static")
	got := modules(site)
	for _, name := range []string{"space.js", "gl.js", "film.js", "falling.js", "worker.js"} {
		assert.NotContains(t, got, name)
	}
	assert.Contains(t, got, "figure.js")
	assert.Contains(t, string(hurried(site["index.html"], site)), `href="figure.js"`)
}
