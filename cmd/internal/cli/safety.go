package cli

import (
	"github.com/spf13/cobra"

	"chainpath/cmd/internal/say"
	"chainpath/sim"
)

// newSafety is the help topic of what can hurt somebody.
func newSafety() *cobra.Command {
	return &cobra.Command{Use: "safety", Short: "What can hurt you, and what to do", Long: `Safety

` + say.Safety("chainpath") + `

` + say.NoRide + ` ` + say.NoRideTest + `

` + say.Brake(sim.Fixed) + `

Before you add a spacer, move a chainring or fit another part, check with the makers that the
parts fit together, that enough thread is engaged, and that nothing touches under load. ` + say.LookFirst}
}
