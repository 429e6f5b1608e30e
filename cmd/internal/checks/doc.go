// Package checks holds the tests that need much of others' work: a browser's driver and
// a schema checker. It is a module of its own, so that nobody who uses or tests chainpath
// downloads them:
//
//	go -C cmd/internal/checks test ./...
package checks
