package phrase

import (
	"strings"

	"hardfeed/ingest/lexicon"
)

// feed reads the name of a feed at token i into p, with an "of" before it.
func (r *amountReader) feed(i int, p *Part) int {
	t, toks := r.w.t, r.toks
	from := i
	if s, k := t.Match(toks, from, "amounts"); k > 0 && s.Key == "of" {
		from += k
		if _, k := t.Match(toks, from, "articles"); k > 0 && p.Unit == "" && p.Known { // "a quarter of a scoop"
			if m := r.unit(from+k, p); m > 0 {
				from += k + m
				return from - i + r.feed(from, p)
			}
		}
	}
	n := nameReader{amountReader: r, p: p, from: from, j: from}
	for n.j < len(toks) && n.word() {
	}
	if n.j == from {
		return 0
	}
	p.Feed, p.FeedKey = r.joined(from, n.j), n.key
	return n.j - i
}

// nameReader walks over the words of a feed's name.
type nameReader struct {
	*amountReader
	p       *Part
	from, j int
	key     string // of the class of feeds, "" as long as no word says it
}

// word takes what is at token j into the name; false where the name ends.
func (n *nameReader) word() bool {
	if took, known := n.figuresAndMarks(); known {
		n.j += took
		return took > 0
	}
	if took, known := n.knownFeed(); known {
		n.j += took
		return took > 0
	}
	if tok := n.toks[n.j]; n.ctx.Feeds != nil && n.ctx.Feeds(tok.Of(n.text)) {
		n.j++
		return true
	}
	if s, k := n.w.t.Match(n.toks, n.j, "amounts"); k > 0 && s.Key == "of" && !n.ends("times", "meals", "breaks") && !n.mannerEnds() {
		n.j += k
		return true
	}
	if n.endsName() {
		return false
	}
	n.j++
	return true
}

// figuresAndMarks takes what is no word and may stand in a name: "12% nuts", "A&P
// mix", "long-rein", "mix2". known is false for an ordinary word.
func (n *nameReader) figuresAndMarks() (took int, known bool) {
	toks, j := n.toks, n.j
	tok := toks[j]
	inside := j > n.from // part of a name is read
	glued := inside && tok.Glued && j+1 < len(toks) && toks[j+1].Glued
	switch {
	case !inside && tok.Kind == lexicon.Number && n.p.Known && n.p.Unit != "" && n.isPercent(j+1):
		_, k := n.w.t.Match(toks, j+1, "units")
		return 1 + k, true
	case (inside || n.p.Known) && n.isFraction(j): // "half nuts half oats"
		return 0, true
	case glued && tok.Text == "&":
		return 2, true
	case tok.Kind == lexicon.Word, inside && tok.Kind == lexicon.Number && tok.Glued && toks[j-1].Kind == lexicon.Word:
		return 0, false
	case glued && tok.Text == "-" && toks[j+1].Kind == lexicon.Word:
		return 1, true
	}
	return 0, true
}

// isFraction says whether a word for less than one is at token i.
func (r *amountReader) isFraction(i int) bool {
	s, n := r.w.t.Match(r.toks, i, "numbers")
	return n > 0 && strings.HasPrefix(s.Key, "0.")
}

// knownFeed takes a feed of the tables. Hay behind hard feed is another feed: "2
// scoops cubes hay ad lib".
func (n *nameReader) knownFeed() (took int, known bool) {
	s, k := n.w.t.Match(n.toks, n.j, "feeds")
	if k == 0 {
		return 0, false
	}
	if s.Key == "hay" && (n.key == "hard" || n.key == "balancer") && n.endsItem(n.j+k) {
		return 0, true
	}
	if n.key == "" || n.key == "hard" && s.Key != "hay" {
		n.key = s.Key
	}
	return k, true
}

// ends says whether a phrase of one of the sections is at the next token.
func (n *nameReader) ends(sections ...string) bool {
	_, k := n.w.t.Match(n.toks, n.j, sections...)
	return k > 0
}

// mannerEnds says whether a word for how it is fed ends the name: "beet soaked", and
// "1 scoop dry", but not "dry oats".
func (n *nameReader) mannerEnds() bool {
	_, k := n.w.t.Match(n.toks, n.j, "manner")
	return k > 0 && (n.j > n.from || n.j+k >= len(n.toks) || n.toks[n.j+k].Kind == lexicon.Mark)
}

// endsName says whether the name ends before a word that is no feed's.
func (n *nameReader) endsName() bool {
	if n.ends("times", "meals") || n.ends("breaks") || n.mannerEnds() || n.ends("amounts") || n.j == n.from && n.ends("weekdays", "qualifiers") {
		return true
	}
	if s, k := n.w.t.Match(n.toks, n.j, "qualifiers"); k > 0 && (s.Key == "or" || s.Key == "approx" || s.Key == "over") {
		return true
	}
	return n.ends("measures") && n.key != "" && !n.p.Known // "nuts scoop"
}

// endsItem says whether what is at token j is no further word of a feed's name:
// the end, a number, a mark, or a word of amounts.
func (r *amountReader) endsItem(j int) bool {
	if j >= len(r.toks) || r.toks[j].Kind != lexicon.Word {
		return true
	}
	_, n := r.w.t.Match(r.toks, j, "amounts", "vague", "manner", "times", "meals")
	return n > 0
}
