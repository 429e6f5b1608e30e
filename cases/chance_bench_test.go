package cases

import "testing"

// BenchmarkChances is the twelve gears of a case in both directions over all shipped
// sets; run it with -cpu 1 for one core.
func BenchmarkChances(b *testing.B) {
	c, err := Load("trail", nil)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := c.Chances(nil); err != nil {
			b.Fatal(err)
		}
	}
}
