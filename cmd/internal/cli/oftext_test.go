package cli

import "testing"

// ofText skips a test of what is printed where the race detector looks on: its commands are those of the golden
// output once more, and take ten times as long there.
func ofText(t *testing.T) {
	if raced {
		t.Skip("what is printed is looked at without the race detector")
	}
}
