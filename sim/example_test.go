package sim_test

import (
	"fmt"

	"chainpath/sim"
	"chainpath/sim/engage"
)

// The lines of a bicycle from what calipers and depth gauge read.
func ExampleRearFromFaces() {
	front := sim.FrontFromTube(48.6, 29.9)
	rear := sim.RearFromFaces(147.5, 42.6, 0.9, 4.9)
	fmt.Printf("front chainline %.2f mm, rear chainline %.2f mm\n", front, rear)
	// Output: front chainline 54.20 mm, rear chainline 48.00 mm
}

// An invented single-speed bicycle whose ring stands 1 mm outboard of its cog.
func ExampleBike_Evaluate() {
	tooth := engage.Tooth{Tip: 1.0, Full: 1.6, Relief: sim.Radians(17)}
	wheel := func(teeth int, line float64) sim.Wheel {
		return sim.Wheel{Sprocket: sim.Sprocket{Teeth: teeth, TipHeight: 2.3, Tooth: tooth}, Line: line}
	}
	bike := &sim.Bike{
		Chain: sim.Chain{
			Chain: engage.Chain{Pitch: sim.Pitch, InnerWidth: 3.175, OuterWidth: 5.2, PlateHalfHeight: 4, Bevel: 0.4, Slack: sim.Radians(0.6), Stiffness: 10000},
			Width: 8.6, Proud: 0.2, Pin: 3.66, Margin: 1,
		},
		Frame: sim.Frame{Stay: 410, Drop: 60},
		Rings: []sim.Wheel{wheel(42, 44)},
		Cogs:  []sim.Wheel{wheel(16, 43)},
		Slot:  sim.Slot{Forward: 8, Back: 12},
		Load:  sim.Load{Torque: 40000, FreehubDrag: 80, SlackSide: 5},
	}
	result, err := bike.Evaluate()
	if err != nil {
		fmt.Println(err)
		return
	}
	g := &result.Gears[0]
	fmt.Printf("%d links, stay %.1f mm, top span bent by %.2f°: %s\n", result.Links, g.Stay, sim.Degrees(g.Top.Bend), g.Worst(sim.Riding).Grade)
	// Output: 94 links, stay 409.4 mm, top span bent by 0.14°: quiet
}
