package cases

import (
	"fmt"
	"reflect"
	"strconv"

	"go.yaml.in/yaml/v3"

	"chainpath/sim/sweep"
)

// Facts returns everything that decides a sweep's rows but for the tool itself: the
// fields of the case that can change a number, and the plan, each by its path and in
// base units. Two sweeps with the same facts have the same designs and rows.
func (s *Sweep) Facts() (c, plan map[string]string) {
	c, plan = map[string]string{}, map[string]string{}
	n := s.base.clone()
	n.Title, n.About, n.Symptoms, n.Observations, n.Shop, n.Limits, n.Spread = "", "", nil, nil, Shop{}, ShopLimits{}, Tolerances{}
	if n.Learned != nil { // its fingerprints say which sets they are
		n.Learned.Sets = nil
	}
	flatten(encode(reflect.ValueOf(*n)), "", c)
	number := func(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }
	for i, v := range s.Plan.Variables {
		at := fmt.Sprintf("vary[%d].", i)
		plan[at+"path"] = v.Name
		for k, x := range v.Values {
			plan[fmt.Sprintf("%svalues[%d]", at, k)] = number(x)
		}
		if len(v.Values) == 0 {
			plan[at+"from"], plan[at+"to"], plan[at+"step"] = number(v.From), number(v.To), number(v.Step)
		}
	}
	for i, f := range s.linked {
		at := fmt.Sprintf("linked[%d].", i)
		plan[at+"path"], plan[at+"follows"] = f.path, s.Plan.Variables[f.of].Name
		plan[at+"factor"], plan[at+"offset"] = number(f.factor), number(f.offset)
	}
	for i, b := range s.Bounds {
		at := fmt.Sprintf("where[%d].", i)
		plan[at+"of"] = b.Of
		if b.Least.Given {
			plan[at+"at_least"] = number(b.Least.Value)
		}
		if b.Most.Given {
			plan[at+"at_most"] = number(b.Most.Value)
		}
	}
	plan["sample.method"] = s.Plan.Method.String()
	if s.Plan.Method != sweep.Grid {
		plan["sample.count"], plan["sample.seed"] = strconv.Itoa(s.Plan.Count), strconv.FormatUint(s.Plan.Seed, 10)
	}
	return c, plan
}

// flatten adds the scalars below a node by their paths.
func flatten(n *yaml.Node, path string, to map[string]string) {
	switch {
	case n == nil:
	case n.Kind == yaml.MappingNode:
		for i := 0; i+1 < len(n.Content); i += 2 {
			flatten(n.Content[i+1], join(path, n.Content[i].Value), to)
		}
	case n.Kind == yaml.SequenceNode:
		for i, x := range n.Content {
			flatten(x, fmt.Sprintf("%s[%d]", path, i), to)
		}
	default:
		to[path] = n.Value
	}
}
