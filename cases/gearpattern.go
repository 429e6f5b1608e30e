package cases

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// GearPattern names gears by teeth of ring and cog, 0 for any.
type GearPattern struct{ Ring, Cog int }

// Match reports whether the pattern names the gear with these teeth.
func (g GearPattern) Match(ring, cog int) bool {
	return (g.Ring == 0 || g.Ring == ring) && (g.Cog == 0 || g.Cog == cog)
}

var gearPattern = regexp.MustCompile(`^(\*|[1-9][0-9]?)/(\*|[1-9][0-9]?)$`)

// ParseGear reads one pattern of a bicycle's gears: *, or teeth of ring and cog with * for
// any, such as 34/11 or */12. The error says what is wrong with the text, without its place.
func (c *Case) ParseGear(text string) (g GearPattern, err error) {
	if text == "*" {
		return g, nil
	}
	m := gearPattern.FindStringSubmatch(text)
	if m == nil {
		return g, fmt.Errorf("%q is no gear, want * or ring/cog in teeth with * for any, such as 34/11 or */12, and no blanks in a list", text)
	}
	g.Ring, _ = strconv.Atoi(m[1]) // 0 for *
	g.Cog, _ = strconv.Atoi(m[2])
	rings, cogs := c.Front.Rings, c.Rear.Cogs
	if g.Ring != 0 && !slices.Contains(rings, g.Ring) {
		return g, fmt.Errorf("%q names no gear of this bicycle, its chainrings are %s", text, listed(rings))
	}
	if g.Cog != 0 && !slices.Contains(cogs, g.Cog) {
		return g, fmt.Errorf("%q names no gear of this bicycle, its cogs are %s", text, listed(cogs))
	}
	return g, nil
}

func listed(n []int) string {
	return strings.Trim(strings.ReplaceAll(fmt.Sprint(n), " ", ", "), "[]")
}
