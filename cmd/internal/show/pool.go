package show

import (
	"fmt"
	"io"

	"chainpath/cases"
	"chainpath/sim/score"
)

// Pooling is the document of learn --shop.
type Pooling struct {
	File        string          `json:"file"`
	Kinds       []PooledKind    `json:"kinds"`
	Bikes       []PooledBike    `json:"bikes"`
	Scores      []PooledScore   `json:"scores"`
	Reliability []ReliableRange `json:"reliability"`
}

// PooledKind is what the bikes of one kind, or all, came to.
type PooledKind struct {
	Speeds int `json:"speeds"`
	Bikes  int `json:"bikes"`
	Seen   int `json:"observations"`
}

// PooledBike is a bike foretold by the others: mean log losses.
type PooledBike struct {
	Name     string   `json:"name"`
	Speeds   int      `json:"speeds"`
	Seen     int      `json:"observations"`
	Outcomes int      `json:"outcomes"`
	By       string   `json:"left_out_by"`
	Shipped  *float64 `json:"log_loss_shipped"`
	LeftOut  *float64 `json:"log_loss"`
}

// PooledScore is how one concern is foretold, every bike left out in turn.
type PooledScore struct {
	Concern  string   `json:"concern"`
	Outcomes int      `json:"outcomes"`
	Yes      int      `json:"yes"`
	Shop     Foretold `json:"shop"`
	Shipped  Foretold `json:"shipped"`
	Rule     Foretold `json:"one_number_rule"`
	Rate     Foretold `json:"base_rate"`
	words    string
}

// Foretold is a tally of predictions.
type Foretold struct {
	Hits    int     `json:"hits"`
	False   int     `json:"false_alarms"`
	LogLoss float64 `json:"log_loss"`
	Brier   float64 `json:"brier"`
}

// ReliableRange is how often what was given a chance in a range happened.
type ReliableRange struct {
	From  float64 `json:"chance_from"`
	To    float64 `json:"chance_to"`
	N     int     `json:"outcomes"`
	Yes   int     `json:"yes"`
	Mean  float64 `json:"mean_chance"`
	Share float64 `json:"share"`
}

// FromPooled returns the document of what a shop's bikes teach; file is where it was
// written.
func FromPooled(p *cases.Pooled, file string) *Pooling {
	d := &Pooling{File: file, Scores: []PooledScore{}}
	for _, k := range p.Memory.Kinds {
		d.Kinds = append(d.Kinds, PooledKind{k.Speeds, k.Bikes, k.Seen})
	}
	for _, b := range p.Bikes {
		by := "shop"
		if b.OwnKind {
			by = "kind"
		}
		one := PooledBike{Name: b.Name, Speeds: b.Speeds, Seen: b.Seen, Outcomes: b.Outcomes, By: by}
		if b.Outcomes > 0 {
			was, is := round(b.Shipped), round(b.LeftOut)
			one.Shipped, one.LeftOut = &was, &is
		}
		d.Bikes = append(d.Bikes, one)
	}
	tally := func(t *score.Tally) Foretold { return Foretold{t.Hit, t.False, round(t.LogLoss), round(t.Brier)} }
	for i := range p.Scores {
		s := &p.Scores[i]
		d.Scores = append(d.Scores, PooledScore{s.Concern.String(), s.LeftOut.N, s.LeftOut.Yes, tally(&s.LeftOut), tally(&s.Shipped), tally(&s.Rule), tally(&s.Rate), s.Concern.Words()})
	}
	for _, b := range p.Bins {
		d.Reliability = append(d.Reliability, ReliableRange{b.From, b.To, b.N, b.Yes, round(b.Mean), round(b.Share)})
	}
	return d
}

// PoolingHeader names the columns of learn --shop's CSV, one row a bike.
var PoolingHeader = []string{"name", "speeds", "observations", "outcomes", "left_out_by", "log_loss_shipped", "log_loss"}

// Rows returns the CSV rows.
func (d *Pooling) Rows() (rows [][]string) {
	for _, b := range d.Bikes {
		rows = append(rows, []string{b.Name, fmt.Sprint(b.Speeds), fmt.Sprint(b.Seen), fmt.Sprint(b.Outcomes), b.By, num(b.Shipped), num(b.LeftOut)})
	}
	return rows
}

// better reports how the shop does against the others, all concerns together: mean log
// losses by outcomes.
func (d *Pooling) better() (shop, shipped, rule float64) {
	n := 0.0
	for _, s := range d.Scores {
		k := float64(s.Outcomes)
		n += k
		shop += k * s.Shop.LogLoss
		shipped += k * s.Shipped.LogLoss
		rule += k * s.Rule.LogLoss
	}
	return shop / n, shipped / n, rule / n
}

// PoolingText prints what a shop's bikes teach: what it is worth first, then the scores,
// the bikes, and what was written.
func PoolingText(w io.Writer, d *Pooling) error {
	p := &printer{w: w}
	p.printf("%s\n\n", Wrap(d.worth(), Columns))
	if len(d.Scores) > 0 {
		p.printf("%s\n\n", Wrap("Log loss: less is better, 0.693 is a guess. Rule: of one number, the chain angle or the gap; rate: the base rate; both are fitted to the other bikes. False: false alarms.", Columns))
		t := &Table{Head: [][]string{{"every bike left out,", "gears", "log loss by", "", "", "", "shop's", ""}, {"chance of", "yes/all", "shop", "shipped", "rule", "rate", "hits", "false"}}, Left: map[int]bool{0: true}, Flow: 1}
		for _, s := range d.Scores {
			f := func(x Foretold) string { return fmt.Sprintf("%.3f", x.LogLoss) }
			t.Rows = append(t.Rows, []string{s.words, fmt.Sprintf("%d/%d", s.Yes, s.Outcomes), f(s.Shop), f(s.Shipped), f(s.Rule), f(s.Rate), fmt.Sprint(s.Shop.Hits), fmt.Sprint(s.Shop.False)})
		}
		p.write(t.Write)
		p.printf("\n")
	}
	if len(d.Reliability) > 0 {
		t := &Table{Head: [][]string{{"given a chance of", "gears", "mean", "happened"}}, Left: map[int]bool{0: true}}
		for _, b := range d.Reliability {
			if b.N > 0 {
				t.Rows = append(t.Rows, []string{fmt.Sprintf("%.2f to %.2f", b.From, b.To), fmt.Sprint(b.N), fmt.Sprintf("%.2f", b.Mean), fmt.Sprintf("%d, %.2f", b.Yes, b.Share)})
			}
		}
		p.write(t.Write)
		p.printf("\n")
	}
	t := &Table{Head: [][]string{{"bike", "speeds", "seen", "log loss", "shipped", "by others of"}}, Left: map[int]bool{0: true, 5: true}, Flow: 1}
	for _, b := range d.Bikes {
		was, is := "-", "-"
		if b.Shipped != nil {
			was, is = fmt.Sprintf("%.3f", *b.Shipped), fmt.Sprintf("%.3f", *b.LeftOut)
		}
		by := "the shop"
		if b.By == "kind" {
			by = "its kind"
		}
		t.Rows = append(t.Rows, []string{b.Name, fmt.Sprint(b.Speeds), fmt.Sprint(b.Seen), is, was, by})
	}
	p.write(t.Write)
	p.printf("\n")
	p.printf("%s\n", Wrap(fmt.Sprintf("%s written: learn CASE --from %s starts a new bike from it. It stays on this machine.", d.File, d.File), Columns))
	return p.err
}

// worth says in a sentence or two what the shop's experience is worth.
func (d *Pooling) worth() string {
	if len(d.Scores) == 0 {
		return fmt.Sprintf("%d bikes: nothing was seen of two of them alike, so that nothing can be scored. What they teach is written all the same.", len(d.Bikes))
	}
	shop, shipped, rule := d.better()
	s := fmt.Sprintf("%d bikes, each foretold by the others: ", len(d.Bikes))
	switch {
	case shop < shipped && shop < rule:
		s += "the shop's experience foretells better than the shipped sets and than rules of one number"
	case shop < shipped:
		s += "the shop's experience foretells better than the shipped sets, yet not better than rules of one number fitted to the same bikes"
	case shop < rule:
		s += "the shop's experience foretells better than rules of one number, yet not better than the shipped sets: start from those"
	default:
		s += "the shop's experience foretells neither better than the shipped sets nor than rules of one number: do not start from it"
	}
	return s + fmt.Sprintf(" (log loss %.3f, shipped %.3f, rules %.3f).", shop, shipped, rule)
}
