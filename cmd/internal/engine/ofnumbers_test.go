package engine

import "testing"

// ofNumbers skips a test of what is answered where the race detector looks on: what it asks for is asked for by others
// too, and takes ten times as long there.
func ofNumbers(t *testing.T) {
	if raced {
		t.Skip("answers are looked at without the race detector")
	}
}
