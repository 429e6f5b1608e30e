package cases

import (
	"reflect"
	"strings"

	"chainpath/sim/decide"
)

// allNames are the choices with every other name for one.
func allNames(tag reflect.StructTag) []string {
	switch tag.Get("list") {
	case "observations":
		return ObservationNames()
	case "symptoms":
		return SymptomNames()
	}
	return choices(tag)
}

// choices returns the values that a field's tags allow, nil for any: those of oneof, or of
// the list that list names.
func choices(tag reflect.StructTag) (all []string) {
	switch list, of := tag.Get("list"), tag.Get("oneof"); {
	case list == "observations":
		return Observations()
	case list == "symptoms":
		for _, c := range decide.Complaints {
			all = append(all, string(c))
		}
		return all
	case of != "":
		return strings.Split(of, "|")
	}
	return nil
}
