package sim

// FrontFromTube returns the front chainline, mm, from a tube that reaches equally far to both sides
// of the frame centreline: half its width and the distance from its face to the chainring's centre.
func FrontFromTube(tubeWidth, gap float64) float64 { return tubeWidth/2 + gap }

// Face tells which face of a ring a reading was taken on.
type Face int

// The faces a reading can be taken on.
const (
	Centre Face = iota
	OuterFace
	InnerFace
)

// FrontFromRings returns the front line of a double from the readings to both
// rings, or of a triple from that to the middle one (the second of three): half
// the tube's width, the mean of the readings, and half the tooth's thickness
// taken off an outer face or put on an inner one, mm. A single reading is a
// single ring's.
func FrontFromRings(tubeWidth float64, readings []float64, face Face, thickness float64) float64 {
	var reading float64
	switch len(readings) {
	case 2:
		reading = (readings[0] + readings[1]) / 2
	case 3:
		reading = readings[1]
	case 1:
		reading = readings[0]
	}
	switch face {
	case OuterFace:
		reading -= thickness / 2
	case InnerFace:
		reading += thickness / 2
	}
	return FrontFromTube(tubeWidth, reading)
}

// RearFromFaces returns the rear line: half the distance between the dropouts'
// inside faces, less the gap from the drive-side face to the smallest cog's
// outer face and half the stack, mm. The stack is measured from the largest
// cog's back to the smallest cog's outer face; what a rivet or carrier stands
// proud of the back is taken off it first.
func RearFromFaces(dropouts, stack, protrusion, gap float64) float64 {
	return dropouts/2 - (gap + (stack-protrusion)/2)
}

// CogLines returns the lines of n cogs about a rear line, smallest and
// outermost first, a cog pitch apart, mm.
func CogLines(rear, pitch float64, n int) []float64 {
	y := make([]float64, n)
	for i := range y {
		y[i] = rear + pitch*(float64(n-1)/2-float64(i))
	}
	return y
}

// RingLines returns the lines of n rings about a front line, smallest and
// innermost first, a ring pitch apart, mm.
func RingLines(front, pitch float64, n int) []float64 {
	y := make([]float64, n)
	for i := range y {
		y[i] = front + pitch*(float64(i)-float64(n-1)/2)
	}
	return y
}
