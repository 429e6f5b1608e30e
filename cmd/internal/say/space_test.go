package say

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestSpaceWords(t *testing.T) {
	top, bottom, tyre, stay := 3.468, 0.0, -4.189, 4.5
	s := InSpace{Gear: "32/51", Top: &top, Bottom: &bottom, Side: "outboard", Tyre: &tyre, Stay: &stay}
	assert.Equal(t, "Gear 32/51 in space. The chain angle is 3.47° on the top run and 0.00° on the bottom run. The chainring is outboard of the cog."+
		" The chain lacks 4.19 mm of the mud room at the tyre. The chainring clears the chainstay by 4.50 mm beyond the flex.", s.Words())
	s = InSpace{Gear: "32/24", Top: &bottom, Bottom: &bottom, Side: "straight"}
	assert.Equal(t, "Gear 32/24 in space. The chain angle is 0.00° on the top run and 0.00° on the bottom run. The chainring is in line with the cog.", s.Words())
	s = InSpace{Gear: "32/51", Reason: "too short"}
	assert.Equal(t, "Gear 32/51 in space. The chain does not go round: too short.", s.Words())
	assert.Equal(t, "Back-pedalling, onto the cog: an inner link is 1.19 mm outboard of the tooth when the tip reaches it.", CutWords("cog", Way(1), "1.19", "outboard"))
	assert.Equal(t, "Riding, onto the chainring: an inner link is 0.00 mm off the tooth when the tip reaches it.", CutWords("chainring", Way(0), "0.00", ""))
}
