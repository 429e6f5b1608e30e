package show

import (
	"chainpath/cmd/internal/say"
	"chainpath/sim"
)

// Glyph is what stands in a mark: lines through points of a square from -1 to 1, the second number down;
// filled: the areas that they go round.
type Glyph struct {
	Lines  [][][2]float64 `json:"lines"`
	Filled bool           `json:"filled"`
}

// Glyphs are those of the marks.
var Glyphs = map[sim.Mark]Glyph{
	sim.BackMark:  {[][][2]float64{{{-0.6, 0}, {0.35, -0.55}, {0.35, 0.55}, {-0.6, 0}}}, true},
	sim.DownMark:  {[][][2]float64{{{0, 0.6}, {-0.55, -0.35}, {0.55, -0.35}, {0, 0.6}}}, true},
	sim.NoiseMark: {[][][2]float64{{{-0.65, 0.25}, {-0.35, -0.3}, {0, 0.25}, {0.35, -0.3}, {0.65, 0.25}}}, false},
	sim.RubMark:   {[][][2]float64{{{-0.22, -0.5}, {-0.22, 0.5}}, {{0.22, -0.5}, {0.22, 0.5}}}, false},
	sim.SlackMark: {[][][2]float64{{{-0.5, -0.4}, {-0.4, 0.15}, {0, 0.42}, {0.4, 0.15}, {0.5, -0.4}}}, false},
	sim.UnfitMark: {[][][2]float64{{{-0.42, -0.42}, {0.42, 0.42}}, {{-0.42, 0.42}, {0.42, -0.42}}}, false},
}

// Worst is the fault that a gear is marked by in a direction, with its chance.
type Worst struct {
	Mark   sim.Mark `json:"mark"`
	Words  string   `json:"words"` // what the fault is called; "" where none is spoken of
	Chance float64  `json:"chance"`
}

// worstOf returns the fault of a gear that matters most in a direction among some: of the highest level, and of
// those the one with the greatest product of weight and chance. What happens both ways is told with riding.
func worstOf(chance Chance, d sim.Direction, among func(h *sim.Hazard) bool) (w Worst) {
	level, most := say.Quiet, 0.0
	for k := range sim.Hazards {
		h := &sim.Hazards[k]
		p := chance[h.Code]
		if p == nil || !h.Ways[d] || d == sim.Backwards && h.Ways[sim.Riding] || !among(h) {
			continue
		}
		l, x := say.LevelOf(*p), *p*h.Weight
		if l > level || l == level && x > most {
			level, most, w = l, x, Worst{h.Mark, h.Words, *p}
		}
	}
	if level == say.Quiet {
		w.Words = ""
	}
	return w
}
