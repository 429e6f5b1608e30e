// Package licences holds the licences of all that is linked into the tool, and of what
// an exported site is compiled of. The texts are made from the linked modules by
//
//	go test ./cmd/internal/licences -update
//
// and the test fails when they are stale.
package licences

import _ "embed"

// Tool is the notices of the command chainpath, on every system that it is built for.
//
//go:embed tool.txt
var Tool string

// Site is the notices of an exported site, its engine and loader.
//
//go:embed site.txt
var Site string
