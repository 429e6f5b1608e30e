package cases

import "os"

// long says whether the large samples are drawn, as CI does.
var long = os.Getenv("CHAINPATH_LONG") != ""

// few returns a sample's size: n, or of the large samples all.
func few(n, all int) int {
	if long {
		return all
	}
	return n
}
