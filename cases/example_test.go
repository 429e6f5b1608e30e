package cases_test

import (
	"fmt"

	"chainpath/cases"
	"chainpath/sim"
)

// One gear of a shipped case.
func ExampleLoad() {
	c, err := cases.Load("trail", nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	bike, err := c.Bike()
	if err != nil {
		fmt.Println(err)
		return
	}
	result, err := bike.Evaluate()
	if err != nil {
		fmt.Println(err)
		return
	}
	g := &result.Gears[len(result.Gears)-1]
	fmt.Printf("%d/%d: top span bent by %.2f°\n", g.RingTeeth, g.CogTeeth, sim.Degrees(g.Top.Bend))
	// Output: 32/51: top span bent by 3.47°
}

// A mistake is told with its place, and what is allowed there.
func ExampleParse() {
	_, err := cases.Parse("bike.yaml", []byte("chainpath: 1\ntitle: mine\nfront:\n  line: 400\n  rings: [32]\n"))
	fmt.Println(err)
	// Output:
	// bike.yaml:1:1: rear: missing: rear chainline and cogs
	// bike.yaml:4:9: front.line: 400 mm is out of range, want 0 mm to 300 mm
}
