package phrase

import (
	"hardfeed/ingest/lexicon"
	"hardfeed/ingest/quantity"
)

// amountWords is what the words of section "amounts" do inside a cell, by their keys:
// each is given the word's first token and how many there are, and says how many it
// took, 0 where the word is none here. Words without a row are left to others.
var amountWords = map[string]func(r *amountReader, i, n int) int{
	"same":     (*amountReader).same,
	"ditto":    (*amountReader).ditto,
	"ad lib":   (*amountReader).adLib,
	"none":     func(r *amountReader, i, n int) int { return r.word(Part{Known: true, Vague: noFeed}, i, n) },
	"more":     func(r *amountReader, i, n int) int { return r.moreOrLess(i, n, 1) },
	"less":     func(r *amountReader, i, n int) int { return r.moreOrLess(i, n, -1) },
	"only":     (*amountReader).read,
	"of":       (*amountReader).read,
	"with":     func(r *amountReader, i, n int) int { return r.add(element{kind: aSeparator, text: "+"}, i, n) },
	"to taste": func(r *amountReader, i, n int) int { r.out.Question = true; return r.read(i, n) },
}

// amountWord takes "none", "same", "ad lib", "more" and the like inside a cell.
func (r *amountReader) amountWord(i int, s lexicon.Sense, n int) int {
	if do := amountWords[s.Key]; do != nil {
		return do(r, i, n)
	}
	return 0
}

// word puts a word that stands for an item.
func (r *amountReader) word(p Part, i, n int) int {
	p.Span = spanOf(r.toks, i, n)
	return r.add(element{kind: anItem, part: p}, i, n)
}

func (r *amountReader) same(i, n int) int { return r.word(Part{Same: true}, i, n) }

// ditto takes a ditto mark; "DO" is a day off.
func (r *amountReader) ditto(i, n int) int {
	if r.toks[i].Upper && !r.toks[i].Dot {
		return 0
	}
	r.out.Ditto = true
	return r.read(i, n)
}

// adLib takes as much as it eats: of the feed before, or alone.
func (r *amountReader) adLib(i, n int) int {
	if p := r.last(); p != nil && !p.Known {
		p.AdLib = true
		return r.read(i, n)
	}
	return r.word(Part{AdLib: true}, i, n)
}

// moreOrLess takes "½ sc more", which looks back, "up ½ sc", which looks forward, and
// "plus" between two amounts.
func (r *amountReader) moreOrLess(i, n, sign int) int {
	if _, k := quantity.ReadNumber(r.w.t, r.toks, i+n); k > 0 && (i == 0 || r.toks[i-1].Kind == lexicon.Mark || r.last() == nil) {
		before := len(r.els)
		m := r.item(i + n)
		if len(r.els) > before {
			r.els[before].part.Relative = sign
		}
		return r.read(i, n) + m
	}
	if p := r.last(); p != nil && p.Known && p.Relative == 0 && (sign < 0 || !r.joining(i)) {
		p.Relative = sign
		if p.Feed == "" { // "0,5 kg mehr Hafer"
			n += r.feed(i+n, p)
		}
		return r.read(i, n)
	}
	if sign < 0 || len(r.els) == 0 { // "less oats": how much less?
		return r.unread(i, n)
	}
	return r.add(element{kind: aSeparator, text: "+"}, i, n)
}

// joining says whether a word for more joins two amounts rather than saying more of
// the one before.
func (r *amountReader) joining(i int) bool {
	switch r.toks[i].Text {
	case "plus", "add", "y":
		return true
	}
	return false
}
