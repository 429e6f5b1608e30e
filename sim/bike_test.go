package sim

import (
	"chainpath/sim/engage"
)

// tooth is the tests' tooth: 1.6 mm thick, 1.0 at the tip, relief 17°.
var tooth = engage.Tooth{Tip: 1.0, Full: 1.6, Relief: Radians(17)}

func sprocket(teeth int) Sprocket { return Sprocket{Teeth: teeth, TipHeight: 2.3, Tooth: tooth} }

func chain12() Chain {
	return Chain{
		Chain: engage.Chain{Pitch: Pitch, InnerWidth: 2.18, OuterWidth: 4.0, PlateHalfHeight: 4.0, Bevel: 0.4, Slack: Radians(0.6), Stiffness: 10000},
		Width: 5.2, Proud: 0.2, Pin: 3.66, Margin: 1,
	}
}

// trail is an invented 1×12: front line 53, rear line 47.
func trail() *Bike {
	b := &Bike{
		NoiseFrom: Radians(2.5),
		Chain:     chain12(),
		Frame:     Frame{Stay: 435, Drop: 45},
		Rings:     []Wheel{{sprocket(32), 53}},
		Tensioner: &Tensioner{
			Guide: sprocket(12), Tension: sprocket(14), Cage: 93, Direction: Radians(15),
			Gap: [2]float64{10, 6}, Folded: Radians(-45), Stretched: Radians(75), Spring: 1200, SpringRate: 250,
		},
		Load: Load{Torque: 40000, FreehubDrag: 100},
		Tyre: &Tyre{BeadSeat: 622, Section: 57, Width: 58, Mud: 6},
		Stay: &Stay{Face: 45, Radius: 60, Angle: Radians(4), Flex: 1, Diameter: 18},
	}
	teeth := []int{10, 12, 14, 16, 18, 21, 24, 28, 32, 36, 42, 51}
	for i, y := range CogLines(47, 3.65, len(teeth)) {
		b.Cogs = append(b.Cogs, Wheel{sprocket(teeth[i]), y})
	}
	return b
}

// single is an invented single speed without tensioner.
func single() *Bike {
	c := chain12()
	c.InnerWidth, c.OuterWidth, c.Width = 3.175, 5.2, 8.6
	return &Bike{
		Chain: c,
		Frame: Frame{Stay: 410, Drop: 60},
		Rings: []Wheel{{sprocket(42), 44}},
		Cogs:  []Wheel{{sprocket(16), 43}},
		Slot:  Slot{Forward: 8, Back: 12},
		Load:  Load{Torque: 40000, FreehubDrag: 80, SlackSide: 5},
	}
}

// double is an invented 2×6 with a neighbour ring.
func double() *Bike {
	b := trail()
	y := RingLines(45, 7.5, 2)
	b.Rings = []Wheel{{sprocket(34), y[0]}, {sprocket(46), y[1]}}
	b.Cogs = b.Cogs[2:9]
	return b
}
