package engage_test

import (
	"fmt"
	"math"

	"chainpath/sim/engage"
)

// What two lengths of a chain that lie on their side sag by tells the slack and the
// stiffness of its joints.
func ExampleFromSags() {
	short := engage.Cantilever{Links: 15, Pitch: 12.7, Weight: 0.031}
	long := engage.Cantilever{Links: 30, Pitch: 12.7, Weight: 0.031}
	sagShort := short.Sag(0.6*math.Pi/180, 10000) // stands for a measured sag
	sagLong := long.Sag(0.6*math.Pi/180, 10000)
	slack, stiffness, err := engage.FromSags(short, long, sagShort, sagLong)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f° a joint, %.0f N·mm/rad\n", slack*180/math.Pi, stiffness)
	// Output: 0.60° a joint, 10000 N·mm/rad
}
