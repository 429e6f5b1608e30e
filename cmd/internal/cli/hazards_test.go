package cli

import (
	"context"
	"encoding/json"
	"fmt"
	"reflect"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/cases"
	"chainpath/cmd/internal/engine"
	"chainpath/sim"
	"chainpath/sim/decide"
)

// Every column of the hazards' table is read: what is printed changes with it.
func TestEveryColumnOfHazardsIsRead(t *testing.T) {
	ofText(t)
	printed := func(args string) func() string {
		return func() string {
			code, out, errs := run(fields(args)...)
			return fmt.Sprint(code, out, errs)
		}
	}
	failing := func(group string) func() string {
		return func() string {
			f, err := parseFailOn(group)
			return fmt.Sprint(f, err)
		}
	}
	observations := func() string { return fmt.Sprint(cases.Observations()) }
	page := func() string {
		text, err := cases.ShippedText("trail")
		require.NoError(t, err)
		q, err := json.Marshal(map[string]any{"op": "compute", "yaml": string(text), "chances": true})
		require.NoError(t, err)
		return string(engine.Answer(context.Background(), q))
	}
	readers := map[string]func() string{
		"gears": printed("gears double-cage"), "either": printed("gears road --format json"), "json": printed("gears " + small + " --format json"), "diagnosis": printed("diagnose trail --all"),
		"window": printed("window trail"), "compare": printed("compare trail trail-short --all"), "next": printed("next " + small + " --format json"),
		"observations": observations, "page": page, "danger": failing("danger"), "climb": failing("climb"),
		"complaints": func() string { return fmt.Sprint(complaintNames()) },
		"usual": func() string {
			same := true
			for k, h := range sim.Hazards {
				same = same && decide.Usual[k] == h.Weight
			}
			return fmt.Sprint(same)
		},
	}
	read := map[string]string{ // by column one of those that read it
		"Code": "json", "Words": "compare", "Short": "gears", "Will": "either", "Either": "either", "Cause": "diagnosis", "Cure": "diagnosis", "Head": "window", "Letter": "compare", "Mark": "page", "Within": "window",
		"Unit": "json", "Ways": "diagnosis", "Harm": "danger", "Weight": "usual", "Order": "observations", "ByBend": "page",
		"Meets": "either", "Room": "page", "Seen": "observations", "Unseen": "observations", "Sign": "page", "Trial": "next",
		"Symptoms": "diagnosis", "Fail": "climb", "Cures": "complaints",
	}
	columns := reflect.TypeFor[sim.Hazard]()
	require.Len(t, read, columns.NumField())
	was := map[string]string{}
	for name, of := range readers {
		was[name] = of()
	}
	before := sim.Hazards
	for i := range columns.NumField() {
		name := columns.Field(i).Name
		require.Contains(t, read, name)
		for k := range sim.Hazards {
			change(reflect.ValueOf(&sim.Hazards[k]).Elem().Field(i))
		}
		is := readers[read[name]]()
		sim.Hazards = before
		assert.False(t, was[read[name]] == is, "nothing reads %s", name)
	}
}

// change makes another value of one.
func change(v reflect.Value) {
	switch v.Kind() {
	case reflect.String:
		if v.String() != "" {
			v.SetString(v.String() + "x")
		}
	case reflect.Bool:
		v.SetBool(!v.Bool())
	case reflect.Float64:
		v.SetFloat(2 * v.Float())
	case reflect.Int:
		v.SetInt(int64(sim.NumConcerns) + 1 - v.Int())
	case reflect.Struct:
		for i := range v.NumField() {
			change(v.Field(i))
		}
	case reflect.Array, reflect.Slice:
		if v.Kind() == reflect.Slice { // not the table's own
			v.Set(reflect.AppendSlice(reflect.MakeSlice(v.Type(), 0, v.Len()), v))
		}
		for i := range v.Len() {
			change(v.Index(i))
		}
	}
}
