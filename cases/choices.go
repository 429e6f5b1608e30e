package cases

import (
	"fmt"
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

// noChoice says that a word is none of a list, with the nearest where one is near.
func noChoice(word string, list []string) string {
	if near := nearest(word, list); near != "" {
		return fmt.Sprintf("%q, did you mean %s? One of %s", shorten(word), near, strings.Join(list, ", "))
	}
	return fmt.Sprintf("%q, want one of %s", shorten(word), strings.Join(list, ", "))
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
