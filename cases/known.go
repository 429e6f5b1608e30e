package cases

import (
	_ "embed"
	"encoding/json"
	"fmt"
	"sync"
)

// Known is a bike of testdata/field that runs well, with its fault score by the default weights,
// all gears alike.
type Known struct {
	Tensioned bool    `json:"tensioned"`
	Trouble   float64 `json:"trouble"`
}

//go:embed known.json
var knownData []byte

var known = sync.OnceValue(func() (k []Known) {
	if err := json.Unmarshal(knownData, &k); err != nil {
		panic(fmt.Sprintf("cases: known.json: %v", err))
	}
	return k
})

// Rank says how many known bicycles of a kind that run well have less trouble, and how
// many as much or more.
func Rank(trouble float64, tensioned bool) (less, more int) {
	for _, k := range known() {
		switch {
		case k.Tensioned != tensioned:
		case k.Trouble < trouble:
			less++
		default:
			more++
		}
	}
	return less, more
}
