package indexing

// Check is something to look at that tells faults apart which look alike (common practice, no
// published source).
type Check int

// The checks.
const (
	NoCheck       Check = iota
	GaugeHanger         // against the wheel
	MeasureCable        // that one step pulls
	MeasureStack        // over all the cogs
	MeasureGaps         // from cog to cog
	WatchCog            // of the turning wheel, from behind
	PushPulley          // aside by hand
	ChangeCable         // and its housing
	TurnTwoClicks       // a setting goes by it, and nothing else
	NumChecks     = int(TurnTwoClicks) + 1
)

// checks are the one check that tells two faults apart, the lesser fault first: the one that is
// quick and takes nothing to pieces, where there are two.
var checks = map[[2]Fault]Check{
	{Setting, Friction}:         TurnTwoClicks,
	{Setting, BentHanger}:       GaugeHanger,
	{Setting, WrongSpacer}:      MeasureGaps,
	{Setting, BentCog}:          WatchCog,
	{Setting, WrongPull}:        MeasureCable,
	{Setting, PulleyPlay}:       PushPulley,
	{Setting, WrongCluster}:     MeasureStack,
	{Setting, ChainLine}:        TurnTwoClicks,
	{Friction, BentHanger}:      GaugeHanger,
	{Friction, WrongSpacer}:     MeasureGaps,
	{Friction, BentCog}:         WatchCog,
	{Friction, WrongPull}:       MeasureCable,
	{Friction, PulleyPlay}:      PushPulley,
	{Friction, WrongCluster}:    MeasureStack,
	{Friction, ChainLine}:       ChangeCable,
	{BentHanger, WrongSpacer}:   GaugeHanger,
	{BentHanger, BentCog}:       GaugeHanger,
	{BentHanger, WrongPull}:     GaugeHanger,
	{BentHanger, PulleyPlay}:    GaugeHanger,
	{BentHanger, WrongCluster}:  GaugeHanger,
	{BentHanger, ChainLine}:     GaugeHanger,
	{WrongSpacer, BentCog}:      WatchCog,
	{WrongSpacer, WrongPull}:    MeasureCable,
	{WrongSpacer, PulleyPlay}:   MeasureGaps,
	{WrongSpacer, WrongCluster}: MeasureStack,
	{WrongSpacer, ChainLine}:    MeasureGaps,
	{BentCog, WrongPull}:        WatchCog,
	{BentCog, PulleyPlay}:       WatchCog,
	{BentCog, WrongCluster}:     MeasureStack,
	{BentCog, ChainLine}:        WatchCog,
	{WrongPull, PulleyPlay}:     MeasureCable,
	{WrongPull, WrongCluster}:   MeasureStack,
	{WrongPull, ChainLine}:      MeasureCable,
	{PulleyPlay, WrongCluster}:  MeasureStack,
	{PulleyPlay, ChainLine}:     PushPulley,
	{WrongCluster, ChainLine}:   MeasureStack,
}

// Separates returns the one check that tells two faults apart; NoCheck where one of them is none.
func Separates(a, b Fault) Check { return checks[[2]Fault{min(a, b), max(a, b)}] }
