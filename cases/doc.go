// Package cases turns YAML case files into sim values and back. It is the only
// place that knows units other than mm, N and rad, the defaults, and file names.
//
// Reading is strict: an unknown field, a wrong type or unit, a missing field or
// a value out of its range is one *Error that names file, line, column, field,
// value and what is allowed. Anchors, aliases and tags are refused, a file is at
// most MaxSize bytes and holds one document.
package cases
