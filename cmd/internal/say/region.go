package say

import "fmt"

// Region says how many of the designs that were judged are good in enough of the bikes as built, and
// the share of the best; shares are 0 to 1.
func Region(inside, judged int, share, best float64) string {
	if inside == 0 {
		return fmt.Sprintf("No design is good in %.0f of 100 bikes as built. The best of %s is in %s.", 100*share, count(judged, "design"), hundredths(best))
	}
	verb := "are"
	if inside == 1 {
		verb = "is"
	}
	return fmt.Sprintf("%d of %s %s good in at least %.0f of 100 bikes as built. The one farthest from where that ends is in %s.", inside, count(judged, "design"), verb, 100*share, hundredths(best))
}

// hundredths says a share as so many of 100, never none and never all.
func hundredths(share float64) string {
	switch {
	case share > 0.99:
		return "more than 99"
	case share < 0.01:
		return "fewer than 1"
	}
	return fmt.Sprintf("%.0f", 100*share)
}

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// RegionEnds says where the good designs end along one number, going to more or to less from the best,
// and which bound ends them; "" for none.
func RegionEnds(number, at string, more bool, by string) string {
	way := "Less"
	if more {
		way = "More"
	}
	if by == "" {
		return fmt.Sprintf("%s %s: good as far as was swept, %s.", way, number, at)
	}
	return fmt.Sprintf("%s %s: good to %s; beyond, too many miss %s.", way, number, at, by)
}

// RegionKept says in how many of the best design's bikes a bound does not hold; share is 0 to 1.
func RegionKept(bound string, failed float64) string {
	if failed == 0 {
		return fmt.Sprintf("Of the best design's bikes all that were drawn meet %s.", bound)
	}
	return fmt.Sprintf("Of the best design's bikes %.1f %% miss %s.", 100*failed, bound)
}

// RegionNotJudged says how many designs lie too near to the end of what was swept.
func RegionNotJudged(n int) string {
	if n == 1 {
		return "1 design lies nearer to the end of what was swept than its tolerances reach: not judged."
	}
	return fmt.Sprintf("%d designs lie nearer to the end of what was swept than their tolerances reach: not judged.", n)
}
