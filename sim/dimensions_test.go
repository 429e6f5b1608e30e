package sim

import (
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// everyPart is a bike with every part that there may be.
func everyPart() *Bike {
	b := highPivot()
	b.Tyre = &Tyre{BeadSeat: 622, Section: 57, Width: 58}
	b.Stay = &Stay{Face: 45, Radius: 70, Angle: 0.07, Flex: 1, Diameter: 20}
	b.Spokes, b.Rotor, b.Dropout = &Spokes{Flange: 22, FlangeLine: 20, Rim: 280}, &Rotor{Line: 20, Radius: 80}, &Dropout{Face: 70}
	b.FrontCage = &FrontCage{Inside: 12, Places: []float64{45, 47}, To: 30}
	return b
}

// Every number of a bike is a dimension once, or is of chain, teeth, front cage or shifter, which a
// design must have as the prepared bike does; a new field is told of here.
func TestEveryNumberIsADimensionOrNot(t *testing.T) {
	b := everyPart()
	at := map[*float64]string{}
	var walk func(v reflect.Value, path string)
	walk = func(v reflect.Value, path string) {
		switch v.Kind() {
		case reflect.Pointer:
			require.False(t, v.IsNil(), "%s: everyPart has all", path)
			walk(v.Elem(), path)
		case reflect.Slice, reflect.Array:
			for i := range v.Len() {
				walk(v.Index(i), path)
			}
		case reflect.Struct:
			for i := range v.NumField() {
				walk(v.Field(i), path+"."+v.Type().Field(i).Name)
			}
		case reflect.Float64:
			at[v.Addr().Interface().(*float64)] = path
		}
	}
	walk(reflect.ValueOf(b).Elem(), "")
	seen := map[*float64]bool{}
	for _, d := range b.dimensions(nil) {
		assert.NotEmpty(t, at[d], "no number of the bike")
		assert.False(t, seen[d], "%s twice", at[d])
		seen[d] = true
	}
	for d, path := range at {
		fixed := strings.HasPrefix(path, ".Chain.") || strings.HasPrefix(path, ".FrontCage.") || strings.Contains(path, ".Sprocket.") ||
			strings.HasPrefix(path, ".Tensioner.Guide") || strings.HasPrefix(path, ".Tensioner.Tension.") || strings.HasPrefix(path, ".Tensioner.Stops.") || path == ".PinsAt"
		assert.NotEqual(t, fixed, seen[d], path)
	}
	assert.Greater(t, len(seen), 60)
}

// A copy shares no dimension; what differs in dimensions alone is alike, what differs in anything
// else is not.
func TestAlikeButForDimensions(t *testing.T) {
	b := everyPart()
	c := b.copied()
	for i, d := range c.dimensions(nil) {
		assert.NotSame(t, b.dimensions(nil)[i], d)
		*d += 0.5
	}
	assert.True(t, b.Alike(c))
	for what, other := range map[string]func(b *Bike){
		"chain":    func(b *Bike) { b.Chain.Bevel += 0.1 },
		"drive":    func(b *Bike) { b.Drive = Fixed },
		"pins":     func(b *Bike) { b.PinsAt = 60 },
		"ring":     func(b *Bike) { b.Rings[0].Tooth.Tip += 0.1 },
		"cog":      func(b *Bike) { b.Cogs[2].Teeth++ },
		"one less": func(b *Bike) { b.Cogs = b.Cogs[1:] },
		"guide":    func(b *Bike) { b.Tensioner.Guide.Teeth++ },
		"tension":  func(b *Bike) { b.Tensioner.Tension.TipHeight += 0.1 },
		"caged":    func(b *Bike) { b.Tensioner = nil },
		"idler":    func(b *Bike) { b.Idler = nil },
		"its own":  func(b *Bike) { b.Idler.Teeth++ },
		"held":     func(b *Bike) { b.Idler.Held = !b.Idler.Held },
		"tyre":     func(b *Bike) { b.Tyre = nil },
		"stay":     func(b *Bike) { b.Stay = nil },
		"spokes":   func(b *Bike) { b.Spokes = nil },
		"rotor":    func(b *Bike) { b.Rotor = nil },
		"dropout":  func(b *Bike) { b.Dropout = nil },
		"cage":     func(b *Bike) { b.FrontCage = nil },
		"places":   func(b *Bike) { b.FrontCage = &FrontCage{Inside: 12, Places: []float64{45, 48}, To: 30} },
		"inside":   func(b *Bike) { b.FrontCage = &FrontCage{Inside: 13, Places: []float64{45, 47}, To: 30} },
		"from":     func(b *Bike) { b.FrontCage = &FrontCage{Inside: 12, Places: []float64{45, 47}, From: 1, To: 30} },
		"to":       func(b *Bike) { b.FrontCage = &FrontCage{Inside: 12, Places: []float64{45, 47}, To: 31} },
	} {
		d := b.copied()
		other(d)
		assert.False(t, b.Alike(d), what)
		assert.False(t, d.Alike(b), what)
	}
	d := b.copied()
	d.Chain.Links = 120
	assert.True(t, b.Alike(d), "a chain of other links is the same chain")
}

// Shares of cages are those of the parabola through three, by hand; each is its own.
func TestSharesOfCages(t *testing.T) {
	p := &Prepared{base: everyPart()}
	p.setCages(10)
	require.Equal(t, []float64{-10, 0, 10}, p.cages)
	for i, x := range p.cages {
		w := p.shares(x)
		for j := range w {
			want := 0.0
			if i == j {
				want = 1
			}
			assert.InDelta(t, want, w[j], 1e-15)
		}
	}
	sum := 0.0
	for i, w := range p.shares(4) {
		sum += w * p.cages[i] * p.cages[i]
	}
	assert.InDelta(t, 16, sum, 1e-12)
	p.setCages(0.4)
	assert.Equal(t, []float64{0}, p.cages)
}
