package geom_test

import (
	"errors"
	"fmt"

	"gonum.org/v1/gonum/spatial/r2"

	"chainpath/geom"
)

// An open belt over two pulleys of radii 100 and 50 whose centres lie 300 apart.
func ExampleSpan_Between() {
	a := geom.Wheel{Centre: r2.Vec{X: 0}, Radius: 100, Sense: geom.Anticlockwise}
	b := geom.Wheel{Centre: r2.Vec{X: 300}, Radius: 50, Sense: geom.Anticlockwise}
	var there, back geom.Span
	if err := errors.Join(there.Between(&a, &b), back.Between(&b, &a)); err != nil {
		fmt.Println(err)
		return
	}
	arcs := a.Radius*geom.Wrap(a.Sense, back.Dir, there.Dir) + b.Radius*geom.Wrap(b.Sense, there.Dir, back.Dir)
	fmt.Printf("belt %.2f, span %.2f\n", there.Length+back.Length+arcs, there.Length)
	// Output: belt 1079.59, span 295.80
}

// The pitch radius of a sprocket of 18 teeth for a chain of half an inch.
func ExamplePolygonRadius() {
	fmt.Printf("%.3f mm\n", geom.PolygonRadius(12.7, 18))
	// Output: 36.568 mm
}
