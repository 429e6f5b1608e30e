// Package reference holds the pages that say all there is to know of formats, model and
// commands: shown by the tool's help, written as manual pages, and read in the repository.
package reference

import (
	"embed"
	"strings"
)

//go:embed *.md
var files embed.FS

// Topics are the pages in the order in which they are listed.
var Topics = []string{"model", "scores", "commands", "casefile", "output", "rows", "cad", "site", "library"}

// Page returns a page's title and its text, in Markdown, without the title; "" for none.
func Page(topic string) (title, text string) {
	b, err := files.ReadFile(topic + ".md")
	if err != nil {
		return "", ""
	}
	head, text, _ := strings.Cut(string(b), "\n")
	return strings.TrimPrefix(head, "# "), strings.TrimLeft(text, "\n")
}
