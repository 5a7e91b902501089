package record

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"

	"hardfeed/ration/yard"
	"hardfeed/report/words"
)

// WhyText is every number of a horse's card worked out line by line: what, by
// which formula, from which cells, settings and tables, whose figure. The
// workings were recorded by the engine as it computed them.
func WhyText(p yard.Plan, h yard.HorsePlan) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s, week %s. Needs: %s. Work: model %s.\n", h.Horse.Name, plainSpaces(words.WeekSpan(p.Week)), p.Standard, p.WorkModel)
	switch h.Status {
	case yard.NoCard:
		fmt.Fprintf(&b, "No card. %s\n", strings.Join(words.Why(h), " "))
	case yard.Held:
		fmt.Fprintf(&b, "Less than planned. %s\n", strings.Join(words.Why(h), " "))
	}
	for i, w := range h.Workings {
		fmt.Fprintf(&b, "\n%d. %s = %s\n", i+1, w.What, valueText(w.Result, w.Unit))
		fmt.Fprintf(&b, "   %s\n", w.Formula)
		for _, in := range w.Inputs {
			from := ""
			if in.From != "" {
				from = "  [" + in.From + "]"
			}
			fmt.Fprintf(&b, "     %s: %s%s\n", in.Name, valueText(in.Value, in.Unit), from)
		}
		if w.Source != "" {
			fmt.Fprintf(&b, "   Source: %s\n", w.Source)
		}
	}
	fmt.Fprintf(&b, "\nFigures are compared, nothing is prescribed: a vet or a qualified nutritionist comes first.\n")
	return b.String()
}

func valueText(n yard.Num, unit string) string { return plainSpaces(words.Known(n, 4, unit)) }

// plainSpaces is for a terminal, which keeps no number with its unit anyway.
func plainSpaces(s string) string { return strings.ReplaceAll(s, words.NoBreak, " ") }

type recordWhy struct {
	Horse    string          `json:"horse"`
	Status   yard.Status     `json:"status"`
	Workings []recordWorking `json:"workings"`
}

type recordWorking struct {
	What    string        `json:"what"`
	Formula string        `json:"formula"`
	Inputs  []recordInput `json:"inputs"`
	Result  yard.Num      `json:"result"`
	Unit    string        `json:"unit"`
	Source  string        `json:"source"`
}

type recordInput struct {
	Name  string   `json:"name"`
	Value yard.Num `json:"value"`
	Unit  string   `json:"unit"`
	From  string   `json:"from"`
}

// WhyJSON is the same for programs: one object, a number not known is null.
func WhyJSON(h yard.HorsePlan) ([]byte, error) {
	r := recordWhy{Horse: h.Horse.Name, Status: h.Status, Workings: []recordWorking{}}
	for _, w := range h.Workings {
		v := recordWorking{What: w.What, Formula: w.Formula, Inputs: []recordInput{}, Result: words.Clean(w.Result), Unit: w.Unit, Source: w.Source}
		for _, in := range w.Inputs {
			v.Inputs = append(v.Inputs, recordInput{in.Name, words.Clean(in.Value), in.Unit, in.From})
		}
		r.Workings = append(r.Workings, v)
	}
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", " ")
	err := enc.Encode(r)
	return b.Bytes(), err
}
