package cases

import "testing"

// ofNumbers skips a test of what numbers come out where the race detector looks on: it asks for what other tests ask for
// too, more often, and takes ten times as long there.
func ofNumbers(t *testing.T) {
	if raced {
		t.Skip("numbers are looked at without the race detector")
	}
}
