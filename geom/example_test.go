package geom_test

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r2"

	"chainpath/geom"
)

// An open belt over two pulleys of radii 100 and 50 whose centres lie 300 apart.
func ExampleClose() {
	path, err := geom.Close([]geom.Wheel{
		{Centre: r2.Vec{X: 0}, Radius: 100, Sense: geom.Anticlockwise},
		{Centre: r2.Vec{X: 300}, Radius: 50, Sense: geom.Anticlockwise},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("belt %.2f, span %.2f\n", path.Length(), path.Spans[0].Length)
	// Output: belt 1079.59, span 295.80
}

// The pitch radius of a sprocket of 18 teeth for a chain of half an inch.
func ExamplePolygonRadius() {
	fmt.Printf("%.3f mm\n", geom.PolygonRadius(12.7, 18))
	// Output: 36.568 mm
}
