package cases

import "testing"

// BenchmarkBike builds the model of a case, as every design of a sweep does.
func BenchmarkBike(b *testing.B) {
	c, err := Load("trail", nil)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		bike, err := c.Bike()
		if err != nil || bike.Validate() != nil {
			b.Fatal(err)
		}
	}
}
