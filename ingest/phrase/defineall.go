package phrase

import (
	"slices"

	"hardfeed/ingest/lexicon"
	"hardfeed/ingest/quantity"
)

// clauseReader reads what a clause of a legend says of all numbers.
type clauseReader struct {
	w    *Words
	text string
	toks []lexicon.Token // of the legend
	sub  []lexicon.Token // the same, up to the clause's end
	from int             // the clause's first token
	i    int             // the first that counts: behind the 1 of "1 session = 45 mins"
}

// general reads what a clause says of all numbers: bare numbers are minutes, all
// amounts are in scoops, amounts are for each feed, a session's length.
func (w *Words) general(text string, toks []lexicon.Token, c clause) []Definition {
	if c.from >= c.to {
		return nil
	}
	r := clauseReader{w: w, text: text, toks: toks, sub: toks[:c.to], from: c.from, i: c.from}
	if first := r.sub[r.i]; first.Whole && first.Value == 1 && r.i+1 < c.to {
		r.i++
	}
	for _, read := range []func() (Definition, bool){r.bareNumbers, r.workIn, r.session, r.counted, r.amounts} {
		if d, ok := read(); ok {
			return []Definition{d}
		}
	}
	for j := r.i; j+1 < c.to; j++ { // "Riding lessons, week 3, each lesson 45 min"
		if r.sub[j].Text == "," {
			r.i = j + 1
			if d, ok := r.session(); ok {
				return []Definition{d}
			}
		}
	}
	return nil
}

// all is where the whole clause stands.
func (r *clauseReader) all() Span { return spanOf(r.toks, r.from, len(r.sub)-r.from) }

// unit is the unit or measure at token j.
func (r *clauseReader) unit(j int) (string, int) {
	if m, k := r.w.t.Match(r.sub, j, "measures"); k > 0 {
		return m.Key, k
	}
	return quantity.ReadUnit(r.w.t, r.sub, j, quantity.Mass, quantity.Volume)
}

// legend is a word of legends at token j.
func (r *clauseReader) legend(j int) (string, int) {
	s, n := r.w.t.Match(r.sub, j, "legend")
	return s.Key, n
}

// skip skips "is", "in", "are", "the" from token j on.
func (r *clauseReader) skip(j int) int {
	for j < len(r.sub) {
		key, k := r.legend(j)
		switch {
		case k > 0 && key != "is":
			return j
		case k > 0:
			j += k
		case r.sub[j].Kind == lexicon.Word && r.sub[j].End-r.sub[j].Start <= 3:
			if _, u := r.unit(j); u > 0 {
				return j
			}
			if _, u := quantity.ReadUnit(r.w.t, r.sub, j, quantity.Time); u > 0 {
				return j
			}
			j++
		default:
			return j
		}
	}
	return j
}

// bareNumbers reads "numbers = minutes", "numbers are sessions", "numbers in scoops".
func (r *clauseReader) bareNumbers() (Definition, bool) {
	key, n := r.legend(r.i)
	if n == 0 || key != "bare" {
		return Definition{}, false
	}
	j := r.skip(r.i + n)
	if u, k := quantity.ReadUnit(r.w.t, r.sub, j, quantity.Time); k > 0 {
		d := Definition{Kind: BareWork, Span: spanOf(r.toks, r.from, j+k-r.from), Unit: u}
		for m := j + k; m < len(r.sub) && r.sub[m].Text != ","; m++ {
			if x, q := r.w.t.Match(r.sub, m, ownWork, "work"); q > 0 {
				d.Length.Kind = x.Key
				break
			}
		}
		return d, true
	}
	if key, k := r.legend(j); k > 0 && key == "session" {
		return Definition{Kind: BareWork, Span: r.all(), Unit: "session"}, true
	}
	if u, k := r.unit(j); k > 0 {
		return Definition{Kind: BareAmount, Span: r.all(), Unit: u}, true
	}
	return Definition{}, false
}

// workIn reads "riding in minutes", and nothing behind it.
func (r *clauseReader) workIn() (Definition, bool) {
	s, n := r.w.t.Match(r.sub, r.i, "columns")
	if n == 0 || s.Key != "work" {
		if s, n = r.w.t.Match(r.sub, r.i, "work"); n == 0 {
			return Definition{}, false
		}
	}
	j := r.skip(r.i + n)
	u, k := quantity.ReadUnit(r.w.t, r.sub, j, quantity.Time)
	if k == 0 || j == r.i+n || j+k < len(r.sub) && r.sub[j+k].Text != "." {
		return Definition{}, false
	}
	return Definition{Kind: BareWork, Span: r.all(), Unit: u}, true
}

// session reads "all sessions 45 mins".
func (r *clauseReader) session() (Definition, bool) {
	key, n := r.legend(r.i)
	if n == 0 || key != "session" {
		return Definition{}, false
	}
	j := r.skip(r.i + n)
	d, k := quantity.ReadDuration(r.w.t, r.sub, j)
	if k == 0 || d.Unit == "" && d.Value < fewestMinutes {
		return Definition{}, false
	}
	m := d.Minutes
	if d.Unit == "" {
		m = d.Value
	}
	return Definition{Kind: BareWork, Span: spanOf(r.toks, r.from, j+k-r.from), Unit: "session", Length: Length{Minutes: m}}, true
}

// counted reads "1 shift = 2 h 30": what a number alone counts, where nothing else is
// said.
func (r *clauseReader) counted() (Definition, bool) {
	i := r.i
	if _, n := r.legend(i); i == r.from || n > 0 || i+1 >= len(r.sub) || r.sub[i].Kind != lexicon.Word || r.sub[i+1].Text != "=" {
		return Definition{}, false
	}
	if _, k := r.unit(i); k > 0 {
		return Definition{}, false
	}
	d, k := quantity.ReadDuration(r.w.t, r.sub, i+2)
	if k == 0 || d.Minutes <= 0 || d.High != 0 {
		return Definition{}, false
	}
	out := Definition{Kind: BareWork, Span: r.toks[r.from].Span, Unit: "session", Length: Length{Minutes: d.Minutes}}
	if x, q := r.w.t.Match(r.sub, i, "work"); q > 0 {
		out.Length.Kind = x.Key
	}
	return out, true
}

// said is what a clause says of all amounts.
type said struct {
	perFeed, all  bool
	times         int
	unit          string
	feed, feedKey string
}

// amounts reads "Amounts are per feed, fed twice a day", "All amounts in scoops",
// "Kilos of cubes unless it says".
func (r *clauseReader) amounts() (Definition, bool) {
	var a said
	for j := r.i; j < len(r.sub); j++ {
		r.legendWord(j, &a)
		if x, k := r.w.t.Match(r.sub, j, "times"); k > 0 && x.Key[0] >= '1' && x.Key[0] <= '9' {
			a.times = int(x.Key[0] - '0')
		}
		if a.unit == "" {
			if u, k := r.unit(j); k > 0 && (j == r.i || r.sub[j-1].Kind != lexicon.Number) {
				a.unit = u
				j += k - 1
			}
		} else if x, k := r.w.t.Match(r.sub, j, "feeds"); k > 0 && a.feed == "" {
			a.feed, a.feedKey = spanOf(r.sub, j, k).Of(r.text), x.Key
		}
	}
	switch {
	case a.perFeed:
		return Definition{Kind: PerFeed, Span: r.all(), Times: a.times}, true
	case a.all && a.unit != "" && a.unit != "feed" && !slices.ContainsFunc(r.sub[r.from:], func(k lexicon.Token) bool { return k.Kind == lexicon.Number }):
		return Definition{Kind: BareAmount, Span: r.all(), Unit: a.unit, Feed: a.feed, FeedKey: a.feedKey}, true
	}
	return Definition{}, false
}

// legendWord takes "per feed", "all in scoops" and "unless it says" at token j.
func (r *clauseReader) legendWord(j int, a *said) {
	key, k := r.legend(j)
	if k == 0 {
		return
	}
	switch key {
	case "per feed":
		a.perFeed = true
		if j > r.i {
			_, n := r.legend(r.i)
			a.perFeed = n > 0
		}
	case "unless":
		a.all = true
	case "all amounts":
		a.all = true
		if u, q := r.unit(j + k); q > 0 {
			a.unit = u // "FEEDS – all in scoops": feeds are no measure there
		}
	}
}
