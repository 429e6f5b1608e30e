package say

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Every state of a region: none good, one, several; never none and never all of the bikes.
func TestRegionIsSaid(t *testing.T) {
	assert.Equal(t, "No design is good in 95 of 100 bikes as built. The best of 7 designs is in 80.", Region(0, 7, 0.95, 0.801))
	assert.Equal(t, "No design is good in 95 of 100 bikes as built. The best of 1 design is in fewer than 1.", Region(0, 1, 0.95, 0.001))
	assert.Equal(t, "1 of 7 designs is good in at least 90 of 100 bikes as built. The one farthest from where that ends is in 93.", Region(1, 7, 0.9, 0.93))
	assert.Equal(t, "3 of 7 designs are good in at least 90 of 100 bikes as built. The one farthest from where that ends is in more than 99.", Region(3, 7, 0.9, 0.999))
	assert.Equal(t, "Less front chainline, mm: good to 47.5; beyond, too many miss stay_mm>=0.", RegionEnds("front chainline, mm", "47.5", false, "stay_mm>=0"))
	assert.Equal(t, "More chainstay, mm: good as far as was swept, 449.", RegionEnds("chainstay, mm", "449", true, ""))
	assert.Equal(t, "Of the best design's bikes all that were drawn meet stay_mm>=0.", RegionKept("stay_mm>=0", 0))
	assert.Equal(t, "Of the best design's bikes 20.1 % miss stay_mm>=2.", RegionKept("stay_mm>=2", 0.2012))
	assert.Contains(t, RegionNotJudged(1), "1 design lies")
	assert.Contains(t, RegionNotJudged(2), "2 designs lie")
}
