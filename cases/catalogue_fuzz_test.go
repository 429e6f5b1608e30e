package cases

import (
	"fmt"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// fuzzPaths are what a change of a fuzzed catalogue sets or adds to, with some that it
// may not.
var fuzzPaths = []string{
	"front.line", "rear.line", "frame.stay", "chain.slack", "chain.bevel", "tyre.width", "tyre.mud", "front.rings", "rear.cogs",
	"load.torque", "chain.links", "tensioner.cage", "title", "frame.nosuch", "front", "limits.quiet",
}

// A catalogue of drawn changes is applied to a case, or refused with file and line.
func FuzzCatalogue(f *testing.F) {
	f.Add([]byte{0, 0, 10, 1, 1, 20, 2, 2, 30}, "1", "")
	f.Add([]byte{7, 0, 32, 8, 0, 11, 3, 1, 5}, "-0.5", "group: ring")
	f.Add([]byte{0, 2, 3, 0, 1, 200}, "1e-3", "needs: [c0]")
	text, err := ShippedText("trail-parts")
	require.NoError(f, err)
	f.Add([]byte{}, string(text), "whole")
	bike, err := Load("trail", nil)
	require.NoError(f, err)
	f.Fuzz(func(t *testing.T, picks []byte, amount, extra string) {
		var b strings.Builder
		if extra == "whole" {
			b.WriteString(amount)
		} else {
			b.WriteString("chainpath_parts: 1\ntitle: fuzz\nchanges:\n")
			for i := 0; i+2 < len(picks) && i < 18; i += 3 {
				path, v := fuzzPaths[int(picks[i])%len(fuzzPaths)], strconv.Itoa(int(picks[i+2]))
				if picks[i+2]%5 == 0 {
					v = amount
				}
				fmt.Fprintf(&b, "- name: c%d\n", i/3)
				if extra != "" && i == 3 {
					fmt.Fprintf(&b, "  %s\n", extra)
				}
				switch picks[i+1] % 3 {
				case 0:
					fmt.Fprintf(&b, "  set: {%s: %s}\n", path, v)
				case 1:
					fmt.Fprintf(&b, "  add: {%s: %s}\n", path, v)
				default:
					fmt.Fprintf(&b, "  steps: {path: %s, from: 0, to: %s, step: 1}\n", path, v)
				}
			}
		}
		cat, err := ParseCatalogue("parts.yaml", []byte(b.String()))
		var k *Candidates
		if err == nil {
			k, err = cat.For(bike)
		}
		if err != nil {
			require.ErrorAs(t, err, new(*Error), b.String())
			require.Contains(t, err.Error(), "parts.yaml")
			return
		}
		for i := range k.Plan.Options { // each alone
			if _, bike, err := k.build([]int{i}); err == nil {
				_, _ = bike.Evaluate() // one that cannot be says so, without a panic
			}
			if i > 20 {
				return
			}
		}
	})
}
