package budget_test

import (
	"fmt"

	"chainpath/sim/budget"
)

// A front line is half a tube's width and the gap from its face to the ring: the tube
// read with calipers, the gap within ±0.7 mm from paint.
func ExampleFirstOrder() {
	line := func(x, y []float64) error {
		y[0] = x[0]/2 + x[1]
		return nil
	}
	r, err := budget.FirstOrder(line, []budget.Input{
		{Name: "tube", Value: 48.6, U: 0.05},
		{Name: "gap", Value: 29.9, U: budget.FromHalfWidth(budget.Rectangular, 0.7), Dist: budget.Rectangular},
	}, 1)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f mm ± %.1f mm (95 %%)\n", r[0].Value, r[0].Expanded(0.95))
	// Output: 54.2 mm ± 0.8 mm (95 %)
}
