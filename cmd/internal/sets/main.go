// Command sets makes the data that chances rest on: the response of arriving links,
// the sets of free numbers weighted by the field panel, and how much trouble its ordinary
// bicycles have. Each is built into the next, in this order:
//
//	go run ./cmd/internal/sets response
//	go run ./cmd/internal/sets weigh
//	go run ./cmd/internal/sets known
//
// and, for the scores of learning alone, of shifts and of advice,
//
//	go run ./cmd/internal/sets halves
//	go run ./cmd/internal/sets shifts
//	go run ./cmd/internal/sets advice
//
// and, for how chances follow the mechanics, testdata/figures/probes.svg:
//
//	go run ./cmd/internal/sets probes
package main

import (
	"fmt"
	"math/rand/v2"
	"os"
)

// unit is the uniform distribution over a cube.
type unit struct{ n int }

func (u unit) Quantile(x, p []float64) []float64 {
	if x == nil {
		x = make([]float64, u.n)
	}
	copy(x, p)
	return x
}

func source(seed int64) rand.Source { return rand.NewPCG(uint64(seed), 2) }

func main() {
	if len(os.Args) != 2 {
		fmt.Fprintln(os.Stderr, "sets: want response, weigh, known, halves, shifts, advice or probes")
		os.Exit(2)
	}
	var err error
	switch os.Args[1] {
	case "response":
		r, e := makeResponse(os.Stdout)
		if err = e; err == nil {
			err = os.WriteFile("sim/engage/response.bin", r.Encode(), 0o644)
		}
	case "weigh":
		err = weigh(os.Stdout)
	case "known":
		err = writeKnown("cases/known.json")
	case "shifts":
		err = scoreShifts(os.Stdout, "testdata/field")
	case "advice":
		err = scoreAdvice(os.Stdout, "testdata/field")
	case "probes":
		err = probes(os.Stdout, "testdata/figures/probes.svg")
	case "halves":
		err = halves(os.Stdout)
	default:
		err = fmt.Errorf("no %q, want response, weigh, known, halves, shifts, advice or probes", os.Args[1])
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "sets:", err)
		os.Exit(1)
	}
}
