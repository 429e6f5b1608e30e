package cases

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

var (
	isoSize   = regexp.MustCompile(`^(\d{2,3})\s*-\s*(\d{3})$`)
	inchSize  = regexp.MustCompile(`^(\d{2}(?:\.5)?)"?\s*[x×*]\s*(\d(?:\.\d{1,3})?)"?$`)
	fracSize  = regexp.MustCompile(`^(\d{2}(?: 1/2)?)"?\s*[x×*]\s*(\d\s+\d/\d)"?$`)
	metreSize = regexp.MustCompile(`^(650|700)\s*([ABC])?\s*[x×*]\s*(\d{2,3})\s*([ABC])?$`)
)

// beadSeats are the bead seat diameters of rims by the names of tyre sizes, mm: the
// nominal diameters of ISO 5775-2, the names by the trade's usage, from memory. Inch
// names are those with a decimal width; with a fraction, as 26 x 1 3/8, the same
// number names other rims.
var beadSeats = map[string]float64{
	"29": 622, "28": 622, "27.5": 584, "26": 559, "24": 507, "20": 406, "18": 355, "16": 305, "14": 254, "12": 203,
	"700C": 622, "650A": 590, "650B": 584, "650C": 571, "700": 622, "700B": 635, "700A": 642,
}

// fractionSeats are those of sizes with a fraction, by diameter and width as they are
// named; some names have been given to more than one rim, of which the usual one stands
// here (ISO 5775-2 and the trade's usage, from memory).
var fractionSeats = map[string]float64{
	"28x1 1/2": 635, "28x1 3/8": 642, "28x1 5/8": 622, "28x1 3/4": 622, "28x1 1/4": 622,
	"27x1 1/4": 630, "27x1 1/8": 630, "27x1 3/8": 630,
	"26x1 3/8": 590, "26x1 1/4": 597, "26x1 1/2": 584, "26x1 3/4": 571, "26x1 5/8": 571,
	"24x1 3/8": 540, "24x1 1/4": 547, "24x1 1/8": 520, "24x1 3/4": 507, "22x1 3/8": 489,
	"20x1 3/8": 451, "20x1 1/8": 451, "20x1 1/4": 451, "20x1 3/4": 419,
	"18x1 3/8": 400, "16x1 3/8": 349, "16x1 1/4": 349, "16x1 3/4": 317, "14x1 3/8": 298, "12 1/2x2 1/4": 203, "12 1/2x1 3/8": 203,
}

// tyreSize reads section and bead seat diameter, mm, from an ISO 5775-1 designation
// such as 57-622, or from a size by name such as 29x2.25, 26x1 3/8 or 700x40.
func tyreSize(text string) (section, bead float64, err error) {
	number := func(s string) float64 {
		v, _ := strconv.ParseFloat(s, 64) // matched as digits
		return v
	}
	known, size := true, strings.TrimSpace(pointed(strings.ReplaceAll(text, "X", "x")))
	if m := isoSize.FindStringSubmatch(size); m != nil {
		section, bead = number(m[1]), number(m[2])
	} else if m := metreSize.FindStringSubmatch(strings.ToUpper(strings.ReplaceAll(size, "x", "×"))); m != nil && !(m[2] != "" && m[4] != "" && m[2] != m[4]) {
		letter := m[2] + m[4]
		if len(letter) > 1 {
			letter = letter[:1]
		}
		section = number(m[3])
		bead, known = beadSeats[m[1]+letter]
	} else if m := inchSize.FindStringSubmatch(size); m != nil {
		section = inch * number(m[2])
		bead, known = beadSeats[m[1]]
	} else if m := fracSize.FindStringSubmatch(size); m != nil {
		width := strings.Join(strings.Fields(m[2]), " ")
		bead, known = fractionSeats[m[1]+"x"+width]
		if w, err := dimensions["length"].fraction(width); err == nil {
			section = inch * w
		}
	} else {
		known = false
	}
	switch {
	case !known:
		return 0, 0, fmt.Errorf("%q, want section and bead seat diameter in mm such as 57-622, as printed on the tyre, or a size such as 29x2.25, 26x1 3/8 or 700x40", text)
	case section < 10 || section > 200 || bead < 100 || bead > 900:
		return 0, 0, fmt.Errorf("%q is out of range, want 10 to 200 and 100 to 900 mm", text)
	}
	return section, bead, nil
}
