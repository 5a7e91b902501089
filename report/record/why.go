package record

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"

	"hardfeed/ration/yard"
	"hardfeed/report/words"
)

// WhyText is every number of a horse's card worked out line by line in a language:
// what, by which formula, from which cells, settings and tables, whose figure. The
// workings were recorded by the engine as it computed them.
func WhyText(p yard.Plan, h yard.HorsePlan, t words.Language) string {
	var b strings.Builder
	b.WriteString(plainSpaces(t.Say("working.head", "horse", h.Horse.Name, "week", t.WeekSpan(p.Week), "needs", p.Standard, "model", t.Say("working.model."+p.WorkModel))) + "\n")
	switch h.Status {
	case yard.NoCard:
		b.WriteString(t.Say("working.no card", "why", strings.Join(t.Why(h), " ")) + "\n")
	case yard.Held:
		b.WriteString(t.Status(&h) + ". " + strings.Join(t.Why(h), " ") + "\n")
	}
	for i, w := range h.Workings {
		fmt.Fprintf(&b, "\n%d. %s = %s\n", i+1, t.AsWritten(w.What()), valueText(t, w.Result, w.Unit))
		fmt.Fprintf(&b, "   %s\n", t.AsWritten(w.How()))
		for _, in := range w.Inputs {
			from := ""
			if !in.From.Empty() {
				from = "  [" + t.AsWritten(in.From) + "]"
			}
			fmt.Fprintf(&b, "     %s: %s%s\n", inputName(t, in), valueText(t, in.Value, in.Unit), from)
		}
		if w.Source != "" {
			b.WriteString("   " + t.Say("working.source", "source", t.Source(w.Source)) + "\n")
		}
	}
	b.WriteString("\n" + t.Say("working.foot") + "\n")
	return b.String()
}

// inputName is what an input is called, further in where it belongs to the one before.
func inputName(t words.Language, in yard.Input) string {
	name := t.AsWritten(in.Name)
	if in.Under {
		name = "  " + name
	}
	return name
}

func valueText(t words.Language, n yard.Num, unit yard.Saying) string {
	v, ok := n.Get()
	if !ok {
		return t.Say("unknown")
	}
	return strings.TrimRight(t.Figure(v, 4)+" "+t.AsWritten(unit), " ")
}

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

// WhyJSON is the same for programs, in English: one object, a number not known is null.
func WhyJSON(h yard.HorsePlan) ([]byte, error) {
	r := recordWhy{Horse: h.Horse.Name, Status: h.Status, Workings: []recordWorking{}}
	for _, w := range h.Workings {
		v := recordWorking{What: words.AsWritten(w.What()), Formula: words.AsWritten(w.How()), Inputs: []recordInput{}, Result: words.Clean(w.Result), Unit: words.AsWritten(w.Unit), Source: w.Source}
		for _, in := range w.Inputs {
			v.Inputs = append(v.Inputs, recordInput{inputName(words.English(), in), words.Clean(in.Value), words.AsWritten(in.Unit), words.AsWritten(in.From)})
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
