package phrase

import (
	"slices"
	"strings"

	"hardfeed/ingest/lexicon"
	"hardfeed/ingest/quantity"
	"hardfeed/ration/yard"
)

// workWords reads what words of work mean and how long they are.
func (w *Words) workWords(text string, toks []lexicon.Token, before []Definition) []Definition {
	taken := func(s Span) bool {
		return slices.ContainsFunc(before, func(d Definition) bool { return d.Span.Start < s.End && s.Start < d.Span.End })
	}
	type sign struct{ at, left int } // the sign, and the first token of the word before it
	var signs []sign
	for i, k := range toks {
		equal := k.Text == "="
		if !equal && !(k.Text == "-" && !k.Glued || k.Text == ":") {
			continue
		}
		if i == 0 {
			continue
		}
		left := i
		for left > 0 {
			p := toks[left-1]
			if p.Kind == lexicon.Mark && !(p.Text == "/" && toks[left].Glued && p.Glued) && !(p.Text == "-" && p.Glued) && !(p.Text == "&" && left-1 > 0) {
				break
			}
			if p.Kind == lexicon.Number || p.Kind == lexicon.Clock || i-left >= 5 {
				break
			}
			if left < i && gapped(text, toks, left) {
				break
			}
			left--
		}
		for left < i && toks[left].Kind == lexicon.Mark {
			left++
		}
		// Behind a number's unit, and where nothing parts it from what was defined
		// before, the word is the last one alone.
		if len(signs) > 0 && left <= signs[len(signs)-1].at+1 {
			left = i - 1
		}
		for left < i-1 {
			if _, n := quantity.ReadUnit(w.t, toks, left, quantity.Time); n > 0 && left > 0 && toks[left-1].Kind == lexicon.Number {
				left += n
				continue
			}
			break
		}
		if left >= i || toks[left].Kind != lexicon.Word {
			continue
		}
		if !equal {
			// A dash or a colon defines only a short word.
			if i-left > 2 || k.Text == "-" && i-left > 1 && left > 0 && !gapped(text, toks, left) {
				continue
			}
		}
		signs = append(signs, sign{i, left})
	}
	var out []Definition
	for n, s := range signs {
		to := len(toks)
		if n+1 < len(signs) {
			to = signs[n+1].left
		}
		depth := 0
		for j := s.at + 1; j < to; j++ {
			switch {
			case toks[j].Text == "(":
				depth++
			case toks[j].Text == ")":
				depth--
			case depth > 0:
			case stops(toks[j]) || toks[j].Text == "," && n+1 < len(signs) || j > s.at+1 && gapped(text, toks, j):
				to = j
			}
		}
		left := spanOf(toks, s.left, s.at-s.left)
		if s.at+1 >= to || taken(spanOf(toks, s.left, to-s.left)) {
			continue
		}
		if d, ok := w.meaning(text, toks, s.at+1, to, left.Of(text), toks[s.at].Text == "="); ok {
			d.Span = spanOf(toks, s.left, to-s.left)
			out = append(out, d)
			// "rally, games = 1 h" is two words of one length: not read.
		}
	}
	return out
}

// meaning reads what stands behind a legend's sign: a length, a word, both.
func (w *Words) meaning(text string, toks []lexicon.Token, from, to int, word string, equal bool) (Definition, bool) {
	sub := toks[:to]
	d := Definition{Kind: WorkLength, Word: word}
	var pace, rest, work *lexicon.Sense
	given, depth := false, 0
	sum := 0.0
	for i := from; i < to; {
		switch sub[i].Text {
		case "(":
			depth++
		case ")":
			depth--
		}
		if sub[i].Kind == lexicon.Number || sub[i].Kind == lexicon.Word {
			if du, n := quantity.ReadDuration(w.t, sub, i); n > 0 {
				if _, k := w.t.Match(sub, i+n, "measures"); k > 0 {
					return d, false // "AM: 2 scoops" is no length
				}
				if _, k := quantity.ReadUnit(w.t, sub, i+n, quantity.Mass, quantity.Volume); k > 0 && du.Unit == "" {
					return d, false
				}
				m := du.Minutes
				if du.Unit == "" {
					m = du.Value
				}
				// "45 walk", "walk 45": how it is made up
				if g, k := w.t.Match(sub, i+n, "paces"); k > 0 && given {
					d.Length.Gaits[gaitOf[g.Key]] += m
					sum += m
					i += n + k
					continue
				}
				if du.High != 0 {
					return d, false
				}
				if !given && (du.Unit != "" || du.Value >= fewestMinutes) {
					d.Length.Minutes, given = m, true
					i += n
					continue
				}
				i += n
				continue
			}
		}
		s, n := w.t.Match(sub, i, "rest", "work", "events", "paces")
		if n == 0 {
			i++
			continue
		}
		senses, _ := w.t.Senses(sub, i, "rest", "work", "events", "paces")
		if p := preferred(senses, "rest", "events", "paces", "work"); p.Section != "" {
			s = p
			if sub[i].End-sub[i].Start <= 2 && s.Language != w.t.Languages()[0] {
				i += n
				continue
			}
		}
		switch {
		case s.Section == "paces" && pace == nil:
			if du, k := quantity.ReadDuration(w.t, sub, i+n); k > 0 && depth > 0 {
				m := du.Minutes
				if du.Unit == "" {
					m = du.Value
				}
				d.Length.Gaits[gaitOf[s.Key]] += m
				sum += m
				i += n + k
				continue
			}
			pace = &s
		case s.Section == "rest" && rest == nil:
			rest = &s
		case (s.Section == "work" || s.Section == "events") && work == nil:
			work = &s
		}
		i += n
	}
	d.Sure = equal || abbreviates(word, w.workPhrase(text, toks, from, to))
	// Its own word says what it is, where we know it; else the words behind. Of an
	// abbreviation the words behind say it.
	ownSenses, _ := w.t.Senses(lexicon.Scan(word), 0, "work", "events", "paces")
	own := preferred(ownSenses, "work", "events")
	if k, ok := w.t.Has(word, "work", "events"); ok && work != nil && k == work.Key {
		d.Sure = true // "HW – walker 40"
	}
	if _, k := w.t.Has(word, "paces"); !d.Sure && own.Section == "" && !k {
		return d, false // "Jo – hack 60" is somebody's
	}
	kindOf := func(s *lexicon.Sense) {
		if s != nil && (s.Section == "work" || s.Section == "events") {
			d.Length.Kind = s.Key
		}
	}
	if len(word) <= 3 {
		kindOf(work)
	}
	if _, ok := w.t.Has(word, "work", "events"); ok && own.Section != "" && d.Length.Kind == "" {
		kindOf(&own)
	}
	if d.Length.Kind == "" {
		kindOf(work)
	}
	if d.Length.Kind == "" && given {
		if g, ok := w.t.Has(word, "paces"); ok {
			d.Length.Kind = map[string]string{"canter": "canter work", "gallop": "fast", "jump": "jump", "walk": "in hand", "trot": "hack"}[g]
			if g == "walk" {
				d.Length.Gaits[yard.Walk] = d.Length.Minutes
				d.Length.Kind = ""
			}
		}
	}
	switch {
	case given:
		if sum > 0 && (sum > d.Length.Minutes+.5 || sum < d.Length.Minutes-.5) {
			d.Length.Gaits = [yard.Gaits]float64{}
		}
		d.Length.Event = w.kinds[d.Length.Kind].Event
		d.Length.Led = w.kinds[d.Length.Kind].Led
		if _, is := w.t.Has(word, "events"); is && d.Length.Kind == "" {
			d.Length.Event = true
		}
		return d, true
	case rest != nil && work == nil && pace == nil:
		d.Kind, d.Section, d.Key = Meaning, "rest", rest.Key
	case pace != nil && work == nil:
		d.Kind, d.Section, d.Key = Meaning, "paces", pace.Key
	case work != nil:
		d.Kind, d.Section, d.Key = Meaning, work.Section, work.Key
	default:
		return d, false
	}
	return d, d.Sure
}

// workPhrase is the first words of work between two tokens, folded.
func (w *Words) workPhrase(text string, toks []lexicon.Token, from, to int) string {
	for i := from; i < to; i++ {
		if _, n := w.t.Match(toks[:to], i, "rest", "work", "events", "paces"); n > 0 {
			return lexicon.Fold(spanOf(toks, i, n).Of(text))
		}
	}
	return ""
}

// abbreviates says whether a short word is made of letters of a phrase, in order,
// and begins as it does: "Hk" of hack, "LR" of lead rein.
func abbreviates(word, phrase string) bool {
	code := lexicon.Fold(strings.Join(strings.Fields(strings.ReplaceAll(word, "/", "")), ""))
	if code == "" || len(code) > 4 || phrase == "" || code[0] != phrase[0] || len(code) >= len(phrase) {
		return false
	}
	k := 0
	for i := 0; i < len(phrase) && k < len(code); i++ {
		if phrase[i] == code[k] {
			k++
		}
	}
	return k == len(code)
}
