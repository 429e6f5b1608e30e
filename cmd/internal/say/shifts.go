package say

import "fmt"

// Felt says how likely something about shifting is felt that the bike file tells: on so many
// bikes a shift is late because of it.
func Felt(chance float64) string {
	switch LevelOf(chance) {
	case Probable:
		return fmt.Sprintf("Left alone it will probably be felt (%s).", OfBikes(chance))
	case Either:
		return fmt.Sprintf("Whether it is felt could go either way (%s).", OfBikes(chance))
	case Unlikely:
		return fmt.Sprintf("It is unlikely to be felt (%s).", OfBikes(chance))
	}
	return fmt.Sprintf("It is felt on few bikes (%s).", Percent(chance))
}
