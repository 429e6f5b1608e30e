package say

import "fmt"

// NotKept says that what was learned is lost with the answer.
const NotKept = "Nothing is kept yet. With --write FILE every command uses it."

// Odd says of an observation that it does not fit what else was seen: others is its chance by the
// other entries; impossible, that nothing in the model makes it.
func Odd(text string, others float64, impossible bool) string {
	if impossible {
		return fmt.Sprintf("Nothing in the model makes %q. Check hanger, cable, stiff links and worn teeth, and look again.", text)
	}
	return fmt.Sprintf("Your %q does not fit the other entries (%s). Look again, or for a cause that is not modelled.", text, Percent(others))
}
