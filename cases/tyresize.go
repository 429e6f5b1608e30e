package cases

import (
	"fmt"
	"regexp"
	"strconv"
)

var (
	isoSize   = regexp.MustCompile(`^(\d{2,3})-(\d{3})$`)
	inchSize  = regexp.MustCompile(`^(\d{2}(?:\.5)?)\s*[x×]\s*(\d\.\d{1,3}|\d)$`)
	metreSize = regexp.MustCompile(`^(650|700)\s*[x×]\s*(\d{2,3})\s*([ABC])$`)
)

// beadSeats are the bead seat diameters of rims by the names of tyre sizes, mm: the
// nominal diameters of ISO 5775-2, the names by the trade's usage, from memory. Inch
// names are those with a decimal width; with a fraction, as 26 x 1 3/8, the same
// number names other rims.
var beadSeats = map[string]float64{
	"29": 622, "28": 622, "27.5": 584, "26": 559, "24": 507, "20": 406, "16": 305,
	"700C": 622, "650A": 590, "650B": 584, "650C": 571,
}

// tyreSize reads section and bead seat diameter, mm, from an ISO 5775-1 designation
// such as 57-622, or from a size by name such as 29x2.25 or 700x35C.
func tyreSize(text string) (section, bead float64, err error) {
	number := func(s string) float64 {
		v, _ := strconv.ParseFloat(s, 64) // matched as digits
		return v
	}
	known := true
	if m := isoSize.FindStringSubmatch(text); m != nil {
		section, bead = number(m[1]), number(m[2])
	} else if m := inchSize.FindStringSubmatch(text); m != nil {
		section = inch * number(m[2])
		bead, known = beadSeats[m[1]]
	} else if m := metreSize.FindStringSubmatch(text); m != nil {
		section = number(m[2])
		bead, known = beadSeats[m[1]+m[3]]
	} else {
		known = false
	}
	switch {
	case !known:
		return 0, 0, fmt.Errorf("%q, want section and bead seat diameter in mm such as 57-622, or a size such as 29x2.25 or 700x35C", text)
	case section < 15 || section > 130 || bead < 200 || bead > 700:
		return 0, 0, fmt.Errorf("%q is out of range, want 15 to 130 and 200 to 700 mm", text)
	}
	return section, bead, nil
}
