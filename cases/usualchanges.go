package cases

import (
	"fmt"
	"math"
	"strings"
)

// UsualChanges returns what is usually tried on such a bicycle, without prices, as a
// catalogue: the ring moved by spacers, by an offset or a longer spindle, another hub, a
// longer stay, a ring of other teeth, a new chain; one at a time. Common practice, no published
// source. What this bicycle cannot have is left out. Errors are as of Bike.
func (c *Case) UsualChanges() (*Catalogue, error) {
	if _, err := c.Bike(); err != nil {
		return nil, err
	}
	var fits []string
	for _, text := range c.usual() {
		cat, err := ParseCatalogue("usual changes", []byte(catalogueOf([]string{text})))
		if err != nil {
			return nil, err
		}
		if _, err := cat.For(c); err == nil {
			fits = append(fits, text)
		}
	}
	if len(fits) == 0 {
		return nil, c.fail("", "nothing that is usually changed can be changed here")
	}
	return ParseCatalogue("usual changes", []byte(catalogueOf(fits)))
}

func catalogueOf(changes []string) string {
	return "chainpath_parts: 1\ntitle: what is usually changed\nchanges:\n" + strings.Join(changes, "")
}

// newSlack is the free turn of a new chain's joints, ° (assumption; the default is that of a
// chain in use).
const newSlack = 0.6

func (c *Case) usual() (list []string) {
	add := func(name, what string) {
		list = append(list, fmt.Sprintf("  - {name: %q, group: one at a time, %s}\n", name, what))
	}
	for _, by := range []float64{-6, -3, -1.5, 1.5, 3} {
		way, how := "inboard", "spacers or another offset"
		if by > 0 {
			way = "outboard"
		}
		if by < -2 || by > 2 {
			how = "another offset or spindle"
		}
		add(fmt.Sprintf("chainring %g mm %s (%s)", math.Abs(by), way, how), fmt.Sprintf("add: {front.line: %g}", by))
	}
	add("hub or spacing, cogs 2 mm outboard", "add: {rear.line: 2}")
	add("chainstay 10 mm longer", "add: {frame.stay: 10}")
	if len(c.Front.Rings) == 1 {
		for _, by := range []int{-2, 2} {
			add(fmt.Sprintf("%d-tooth chainring", c.Front.Rings[0]+by), fmt.Sprintf("set: {front.rings: [%d]}", c.Front.Rings[0]+by))
		}
	}
	if c.Chain.Slack.Or(newSlack) > newSlack {
		add("new chain", fmt.Sprintf("set: {chain.slack: %g}", newSlack))
	}
	return list
}
