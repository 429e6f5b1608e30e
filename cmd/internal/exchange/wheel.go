package exchange

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"chainpath/sim"
)

// Wheel is a toothed wheel about its own axis, which lies across the bicycle: tooth k is Kinds[k
// modulo their number], turned by k teeth from the first, whose middle stands on the x-axis. Teeth
// are open towards each other, where they join.
type Wheel struct {
	Teeth int
	Kinds []Solid // one, or a wide and a narrow one
}

// Roller is the diameter of a bush roller for a pitch in mm: 7.75 mm at half an inch, the greatest of
// ISO 9633, from memory. The chain's own is not in a bike file, and no answer goes by it.
func Roller(pitch float64) float64 { return 7.75 * pitch / sim.Pitch }

// columns are the profile's points of a tooth, from the middle of a gap to that of the next.
const columns = 10

// profile returns the first half of a tooth's outline, from the middle of the gap to the tip, about
// an axis at the origin: the form of ISO 606 with its smallest seat and largest gap (from memory:
// seating radius 0.505 d1, seating angle 140° - 90°/z, flank radius 0.12 d1 (z + 2)), up to the tip
// circle of the model.
func profile(s sim.Sprocket, pitch float64) (half [columns / 2][2]float64) {
	z, d1 := float64(s.Teeth), Roller(pitch)
	r, tip, step := s.PitchRadius(pitch), s.TipRadius(pitch), math.Pi/float64(s.Teeth)
	seat, flank := 0.505*d1, 0.12*d1*(z+2)
	angle := (140 - 90/z) * math.Pi / 360 // half the seating angle
	sin, cos := math.Sincos(-step)
	centre := [2]float64{r * cos, r * sin}
	// at is a point of the circle about the roller, turned by a from the way to the axle.
	at := func(radius, a float64) [2]float64 {
		sin, cos := math.Sincos(-step + math.Pi - a)
		return [2]float64{centre[0] + radius*cos, centre[1] + radius*sin}
	}
	for i := range 3 {
		half[i] = at(seat, angle*float64(i)/2)
	}
	// The flank's arc is tangent to the seat's and bulges towards it; it ends on the tip circle.
	f := at(seat+flank, angle)
	on := func(a float64) [2]float64 {
		sin, cos := math.Sincos(-step - angle + a)
		return [2]float64{f[0] + flank*cos, f[1] + flank*sin}
	}
	lo, hi := 0.0, math.Pi/2
	for range 50 {
		if p := on((lo + hi) / 2); math.Hypot(p[0], p[1]) < tip {
			lo = (lo + hi) / 2
		} else {
			hi = (lo + hi) / 2
		}
	}
	half[3], half[4] = on(lo/2), on(lo)
	// No tooth is so pointed that its flanks cross.
	for i := 3; i < 5; i++ {
		p := half[i]
		rad, a := math.Hypot(p[0], p[1]), math.Min(math.Atan2(p[1], p[0]), -0.12*step)
		if i == 4 {
			rad = tip
		}
		half[i] = [2]float64{rad * math.Cos(a), rad * math.Sin(a)}
	}
	return half
}

// rim is how wide a wheel is drawn inside its teeth, mm, or as wide as the bore leaves; arms and
// carriers are nobody's but the maker's.
const rim, bore = 11.0, 4.0

// WheelOf returns a wheel's teeth.
func WheelOf(s sim.Sprocket, pitch float64) Wheel {
	w := Wheel{Teeth: s.Teeth}
	body := s.Tooth.Full
	if s.WideNarrow() {
		body = math.Min(body, s.Wide.Full)
	}
	half, step, tip := profile(s, pitch), math.Pi/float64(s.Teeth), s.TipRadius(pitch)
	var outline [columns][2]float64
	for i, p := range half {
		outline[i], outline[columns-1-i] = p, [2]float64{p[0], -p[1]}
	}
	base := math.Hypot(half[0][0], half[0][1]) - 1
	in := math.Max(bore, base-rim)
	kinds := []float64{0}
	if s.WideNarrow() {
		kinds = []float64{1, 0}
	}
	for _, wide := range kinds {
		t := s.Tooth
		if wide > 0 {
			t = s.Wide
		}
		var k Solid
		for _, side := range [2]float64{-1, 1} {
			for row := range 3 {
				for i, p := range outline {
					a, thick, rad := math.Atan2(p[1], p[0]), body, in
					if row == 0 {
						rad = math.Hypot(p[0], p[1])
						if i > 0 && i < columns-1 { // where teeth join they are as thick as the body
							thick = t.Thickness(tip - rad)
						}
					} else if row == 1 {
						rad = base
					}
					if i == 0 || i == columns-1 {
						a = math.Copysign(step, a)
					}
					k.Points = append(k.Points, r3.Vec{X: rad * math.Cos(a), Y: side * thick / 2, Z: rad * math.Sin(a)})
				}
			}
		}
		const far = 3 * columns // from a side to the other
		for i := range columns - 1 {
			for row := range 2 {
				a, b := row*columns+i, (row+1)*columns+i
				k.quad(a, a+1, b+1, b)
				k.quad(far+a, far+b, far+b+1, far+a+1)
			}
			k.quad(i, far+i, far+i+1, i+1)                                         // along the teeth
			k.quad(2*columns+i, 2*columns+i+1, far+2*columns+i+1, far+2*columns+i) // along the bore
		}
		w.Kinds = append(w.Kinds, k)
	}
	return w
}

// Tooth returns where tooth k stands of a wheel at a place, turned by an angle from x towards z, rad.
func (w Wheel) Tooth(k int, at r3.Vec, turned float64) Frame {
	s, c := math.Sincos(turned + 2*math.Pi*float64(k)/float64(w.Teeth))
	return Frame{At: at, X: r3.Vec{X: c, Z: s}, Y: r3.Vec{Y: 1}, Z: r3.Vec{X: -s, Z: c}}
}

// solid returns a wheel in one piece, its teeth joined.
func (w Wheel) solid(at r3.Vec, turned float64) (s Solid) {
	const each = columns - 1 // a tooth's last column is the next one's first
	n := each * w.Teeth
	place := func(p int, k int) int { // of a tooth's point in the whole
		row, i := p/columns, p%columns
		return row*n + (k*each+i)%n
	}
	s.Points = make([]r3.Vec, 6*n)
	for k := range w.Teeth {
		kind, f := w.Kinds[k%len(w.Kinds)], w.Tooth(k, at, turned)
		for i, p := range kind.Points {
			if i%columns < each {
				s.Points[place(i, k)] = f.Of(p)
			}
		}
		for _, t := range kind.Triangles {
			s.Triangles = append(s.Triangles, [3]int{place(t[0], k), place(t[1], k), place(t[2], k)})
		}
	}
	return s
}
