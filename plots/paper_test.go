package plots

import (
	"bytes"
	"math"
	"testing"
	"time"

	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"codeberg.org/go-pdf/fpdf"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/plot/vg"
)

// Places on paper are those of a canvas: turned, moved and scaled in the order of the calls.
func TestPaperPlaces(t *testing.T) {
	p := &paper{scale: 0.5, left: 10, bottom: 100, now: pen{m: matrix{1, 0, 0, 1, 0, 0}}}
	x, y := p.at(vg.Point{X: 4, Y: 6})
	assert.InDeltaSlice(t, []float64{12, 97}, []float64{x, y}, 1e-12)
	p.Push()
	p.Translate(vg.Point{X: 20, Y: 10})
	p.Rotate(math.Pi / 2)
	p.Scale(2, 2)
	x, y = p.at(vg.Point{X: 3, Y: 1}) // 2 (3, 1) turned is (-2, 6), moved (18, 16)
	assert.InDeltaSlice(t, []float64{10 + 9, 100 - 8}, []float64{x, y}, 1e-12)
	assert.InDelta(t, 1, p.size(), 1e-12)
	p.Pop()
	x, y = p.at(vg.Point{X: 4, Y: 6})
	assert.InDeltaSlice(t, []float64{12, 97}, []float64{x, y}, 1e-12)
}

// A figure on paper is lines and text, no image, and the same bytes again.
func TestFigureOnPaper(t *testing.T) {
	in := input(t)
	draw := func() []byte {
		pdf := fpdf.New("P", "mm", "A4", "")
		pdf.SetCompression(false)
		pdf.SetCatalogSort(true)
		pdf.SetCreationDate(time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC))
		pdf.SetModificationDate(time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC))
		pdf.AddUTF8FontFromBytes("sans", "", liberationsansregular.TTF)
		pdf.AddPage()
		TopView(in).OnPaper(pdf, "sans", 15, 20, 180)
		var out bytes.Buffer
		require.NoError(t, pdf.Output(&out))
		return out.Bytes()
	}
	a := draw()
	assert.NotContains(t, string(a), "/Subtype /Image")
	assert.Greater(t, bytes.Count(a, []byte(" Tj")), 10)
	assert.True(t, bytes.Equal(a, draw()))
	f := TopView(in)
	assert.InDelta(t, 180*float64(f.Height/f.Width), f.HeightOnPaper(180), 1e-9)
}
