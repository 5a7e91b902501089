package board

import (
	"strings"
)

// nameCell is a cell of names, parted into the name and what is written behind it:
// "Bramble (540 kg)", "Kelpie 16.2hh", "Arrow ***BOX REST***", "Tansy - lami".
type nameCell struct {
	name   string
	weight string // of the horse; "" where none is written
	note   string // on the horse
}

var (
	weightBehind = lazily(`^(\pL[^()]*?)[\s,–-]*\(?\s*((?:c\.?|ca\.?|approx\.?|~|about)?\s*\d[\d.,]*\s*(?:kg|kgs|kilos|lb|lbs))\.?\s*\)?$`)
	// And how that was got, or when: "Bramble 540 kg taped Sunday".
	weighedBehind = lazily(`^(\pL[^()\d~]*?)[\s,:–-]*[(\[]?\s*((?:c\.?|ca\.?|approx\.?|~|about)?\s*\d.*?)[)\]]?$`)

	heightBehind = lazily(`(?i)^(\pL[^()]*?)[\s,–-]*\(?\s*\d{1,2}(?:[.,]\d{1,2})?\s*(?:hh|h\.h\.?|hands)\s*\)?$`)
	ageBehind    = lazily(`(?i)^(\pL[^()]*?)[\s,–-]*\(?\s*\d{1,2}\s*(?:yo|y\.o\.?|yrs?(?:\s+old)?|years?\s+old)\s*\)?$`)
	starsBehind  = lazily(`^(\pL[^*]*?)\s*\*+\s*([^*]*?)\s*\**$`)
	saidBehind   = lazily(`^(\pL[^()]*?)\s*(?:\s[–—-]\s+|[:,]\s+|\()([^()]+)\)?$`)
)

// nameCell parts the text of a cell of names.
func (l *language) nameCell(text string) nameCell {
	c := nameCell{name: strings.TrimSpace(text)}
	if len(text) > 80 || !strings.ContainsAny(text, "0123456789*(-–—:,") {
		return c
	}
	for {
		before := c.name
		if m := weightBehind().FindStringSubmatch(c.name); m != nil && c.weight == "" && l.looksLikeWeight(&Cell{Kind: Text, Text: m[2]}) {
			c.name, c.weight = strings.TrimSpace(m[1]), m[2]
		}
		if m := weighedBehind().FindStringSubmatch(c.name); m != nil && c.weight == "" && l.saysWeight(m[2]) {
			c.name, c.weight = strings.TrimSpace(m[1]), m[2]
		}
		if m := heightBehind().FindStringSubmatch(c.name); m != nil {
			c.name = strings.TrimSpace(m[1])
		}
		if m := ageBehind().FindStringSubmatch(c.name); m != nil {
			c.name = strings.TrimSpace(m[1])
		}
		if m := starsBehind().FindStringSubmatch(c.name); m != nil {
			c.name, c.note = m[1], strings.TrimSpace(m[2]+" "+c.note)
		}
		if m := saidBehind().FindStringSubmatch(c.name); m != nil && l.saysState(m[2]) {
			c.name, c.note = m[1], strings.TrimSpace(m[2]+" "+c.note)
		}
		if c.name == before {
			return c
		}
	}
}

// saysState says whether a text is a horse's state and nothing else: an illness, gone, or
// out of work.
func (l *language) saysState(text string) bool {
	if len(l.ills(text)) > 0 {
		return true
	}
	w := l.work(text)
	return w.Known() && len(w.Sessions) == 0 && (w.Free != "" || w.Fate != "")
}
