package wall

import (
	"slices"
	"strings"
	"unicode/utf8"

	"hardfeed/ration/yard"
	"hardfeed/report/draw"
	"hardfeed/report/words"
)

// notices is what belongs to the horse and is on each of its cards: less than
// planned, no card, ask first; every caution; what the yard wrote about it.
func (c *card) notices(w float64, t sizes) []*draw.Group {
	var out []*draw.Group
	switch {
	case c.horse.Status == yard.NoCard:
		out = append(out, c.noCard(w, t)...)
	case words.AskFirst(c.horse), c.horse.Status == yard.Held:
		out = append(out, c.banner(w, t, words.StatusKey(c.horse))...)
	}
	if o := c.horse.Horse.Override; c.horse.Step.Verdict == yard.StepOverridden {
		out = append(out, c.caution(w, t, c.BothOf("override", "who", c.Main.OrNotSaid(o.Who), "reason", c.Main.OrNotSaid(o.Reason)), "")...)
	}
	for _, untold := range c.cautions() {
		text, also := c.Main.Caution(untold), ""
		if c.Beside != nil {
			if s := c.Beside.Caution(untold); s != text {
				also = s
			}
		}
		out = append(out, c.caution(w, t, text, also)...)
	}
	return append(out, c.notes(w, t)...)
}

// cautions are the horse's that the words above them have not said already.
func (c *card) cautions() []yard.Saying {
	if !words.AskFirst(c.horse) {
		return c.horse.Cautions
	}
	return slices.DeleteFunc(slices.Clone(c.horse.Cautions), func(s yard.Saying) bool { return s.Key == notKnownCaution })
}

// notKnownCaution is the caution that nobody knows what the horse had last week.
const notKnownCaution = "caution.before"

// beforeSaid says that the card says already that nobody knows what the horse had last week.
func (c *card) beforeSaid() bool {
	return words.AskFirst(c.horse) || slices.ContainsFunc(c.horse.Cautions, func(s yard.Saying) bool { return s.Key == notKnownCaution })
}

// caution is a sentence behind a black bar; a second language is under it.
func (c *card) caution(w float64, t sizes, text, also string) []*draw.Group {
	in := 1.4 * t.note
	lines := c.d.Set.Lines(draw.Bold, t.note, w-in, draw.Black, text)
	if also != "" {
		lines = append(lines, c.d.Set.Lines(draw.Regular, max(least*min(1, t.note/least), 0.9*t.note), w-in, draw.Black, also)...)
	}
	return barred(w, in, 0.5*t.note, 0.35*t.note, closer(t.note, lines))
}

// barred are lines behind a bar, with a little white above the first.
func barred(w, in, bar, above float64, lines []*draw.Group) []*draw.Group {
	var out []*draw.Group
	for i, l := range lines {
		g := draw.Space(w, l.H)
		if i == 0 {
			g.H += above
		}
		g.Add(in, g.H-l.H, l)
		out = append(out, g.Draw(func(d *draw.Doc, x, y float64) { d.Rect(x, y+g.H-l.H, bar, l.H+0.02, draw.Black) }))
	}
	return out
}

// closer are lines of running text with a little less between them.
func closer(cap float64, lines []*draw.Group) []*draw.Group {
	const less = 0.18
	for i, l := range lines {
		lines[i] = draw.Pad(l, 0, -less*cap/2, 0, -less*cap/2)
	}
	return lines
}

// maxNote is how much of a note a card holds, in letters; the rest is read on the office
// sheet, and the card says so.
const maxNote = 320

// shortNote is as much of a note as a card holds, and whether that is all of it.
func shortNote(note string) (text string, whole bool) {
	whole = true
	if most := 8 * maxNote; len(note) > most { // it can be a hundred times as long, and is set in several sizes
		whole = strings.TrimSpace(note[most:]) == ""
		note = strings.ToValidUTF8(note[:most], "")
	}
	text = strings.Join(strings.Fields(note), " ")
	if utf8.RuneCountInString(text) <= maxNote {
		return text, whole
	}
	cut := string([]rune(text)[:maxNote])
	if i := strings.LastIndexByte(cut, ' '); i > maxNote/2 {
		cut = cut[:i]
	}
	return cut, false
}

// notes is what the workbook says about the horse for those who feed it.
func (c *card) notes(w float64, t sizes) []*draw.Group {
	text, whole := shortNote(c.horse.Horse.Notes)
	if text == "" {
		return nil
	}
	more := ""
	if !whole {
		text, more = text+" …", c.BothOf("notes.more")
	}
	runs := []draw.Run{{Face: draw.Bold, Text: c.BothOf("notes") + ":"}, {Text: text}}
	if more != "" {
		runs = append(runs, draw.Run{Face: draw.Bold, Text: more})
	}
	lines := closer(t.note, c.d.Set.Runs(t.note, w, draw.Black, runs...))
	if len(lines) > 0 {
		lines[0] = draw.Pad(lines[0], 0, 0.35*t.note, 0, 0)
	}
	return lines
}

// noCard says that nothing was computed, why, and what to do until somebody who
// knows the horse has spoken.
func (c *card) noCard(w float64, t sizes) []*draw.Group {
	d := c.d
	title := d.Set.Number(draw.Bold, 1.4*t.amount, w-4*t.pad, draw.White, c.BothOf("status.no_card"))
	out := []*draw.Group{draw.Space(w, 1.5*t.pad), band(title, w, 3*t.pad, 1.5*t.pad)}
	say := func(f draw.Face, cap float64, text string) {
		out = append(out, draw.Space(w, 2*t.pad))
		out = append(out, d.Set.Lines(f, cap, w, draw.Black, text)...)
	}
	for i, l := range c.Languages() {
		face := draw.Bold
		if i > 0 {
			face = draw.Regular
		}
		say(face, t.feed, l.Say("nocard.ask", "who", l.Ask(c.Plan.Week)))
		say(face, t.feed, l.Say("nocard.hay"))
	}
	for _, l := range c.Languages() {
		reasons := l.Reasons(c.horse, "nocard.office")
		if len(reasons) == 0 {
			reasons = []string{l.Say("nocard.office")}
		}
		for _, why := range reasons {
			say(draw.Regular, t.note, l.Say("nocard.why", "reason", why))
		}
	}
	return out
}

// band is g on black over the full width.
func band(g *draw.Group, w, dx, dy float64) *draw.Group {
	b := draw.Space(w, g.H+2*dy)
	b.Draw(func(d *draw.Doc, x, y float64) { d.Rect(x, y, w, b.H+0.3, draw.Black) }) // no hairline to the band below
	return b.Add(dx, dy, g)
}

// banner is a word white on black over the full width, with what to do and why beside it,
// in each language.
func (c *card) banner(w float64, t sizes, key string) []*draw.Group {
	d := c.d
	// The word takes at most a third of the band: some languages have a long one.
	low := least * min(1, t.note/least)
	word := draw.Stack(0, d.Set.Close(draw.Bold, c.unbrokenCap(max(low, 1.7*t.note), low, 0.3*w, c.Word(key)), 0.3*w, draw.White, c.Word(key)))
	if also := c.Also(key); also != "" {
		word = draw.Stack(0.6, word, d.Set.Close(draw.Regular, t.note, 0.3*w, draw.White, also))
	}
	in := 0.8 * t.note
	x := word.W + 2*in
	var lines []*draw.Group
	for _, l := range c.Languages() {
		for i, text := range c.says(l) {
			face := draw.Regular
			if i == 0 { // what to do
				face = draw.Bold
			}
			lines = append(lines, closer(t.note, d.Set.Lines(face, t.note, w-x-in, draw.White, text))...)
		}
	}
	// The first block carries the word; further lines follow one by one, so that
	// a long reason may run on to the next card.
	n, first := 0, draw.Space(w-x, 0)
	for n < len(lines) && (n == 0 || first.H < word.H) {
		first.Add(0, first.H, lines[n])
		n++
	}
	top := draw.Space(w, max(first.H, word.H))
	top.Add(in, (top.H-word.H)/2, word)
	top.Add(x, (top.H-first.H)/2, first)
	out := []*draw.Group{draw.Space(w, 0.4*t.note), band(top, w, 0, 0.35*t.note)}
	for _, l := range lines[n:] {
		out = append(out, band(draw.Pad(l, x, 0, 0, 0), w, 0, 0))
	}
	return append(out, band(draw.Space(w, 0), w, 0, 0.2*t.note))
}

// after is what is below the meals: what is other than last week, what a day off
// gets that is not planned, and which edition it is.
func (c *card) after(w float64, t sizes) []*draw.Group {
	in := 1.6 * t.note
	out := []*draw.Group{draw.Space(w, 0.3*t.note)}
	say := func(mark *draw.Group, runs func(words.Language) []draw.Run) {
		lines := closer(t.note, c.d.Set.Runs(t.note, w-in, draw.Black, runs(c.Main)...))
		if c.Beside != nil {
			low := max(least*min(1, t.note/least), 0.85*t.note)
			if also := runs(*c.Beside); len(also) > 0 {
				lines = append(lines, closer(low, c.d.Set.Runs(low, w-in, draw.Black, also...))...)
			}
		}
		for i, l := range lines {
			g := draw.Space(w, l.H)
			if i == 0 {
				g.Add(0, (l.H-mark.H)/2, mark)
			}
			out = append(out, g.Add(in, 0, l))
		}
	}
	ask := c.d.Set.Line(draw.Bold, t.note, draw.Black, "?")
	for _, ch := range c.horse.Changes {
		if !ch.FromKg.IsKnown() {
			continue
		}
		mark := ask
		if up := words.ChangeWay(ch); up != 0 {
			mark = draw.Arrow(up > 0, 1.2*t.note)
		}
		say(mark, func(l words.Language) []draw.Run { return c.changeText(l, ch) })
	}
	if c.notKnownBefore(c.Main, c.horse.Changes, c.beforeSaid()) != nil {
		say(ask, func(l words.Language) []draw.Run { return c.notKnownBefore(l, c.horse.Changes, c.beforeSaid()) })
	}
	if key := c.unweighedKey(); key != "" {
		lines := closer(t.note, c.d.Set.Lines(draw.Regular, t.note, w-in, draw.Black, c.BothOf("who.unweighed")))
		mark := c.boxed(key, max(least*min(1, t.note/least), 0.8*t.note), w)
		if at := mark.W + 0.5*t.note; at > in {
			lines = closer(t.note, c.d.Set.Lines(draw.Regular, t.note, w-at, draw.Black, c.BothOf("who.unweighed")))
			in = at
		}
		out = append(out, draw.Beside(in-mark.W, mark, draw.Stack(0, lines...)))
		in = 1.6 * t.note
	}
	none := draw.Space(0, 0)
	if text := c.EditionOf(c.horse); text != "" {
		say(none, func(l words.Language) []draw.Run {
			if l.Code != c.Main.Code { // it says both
				return nil
			}
			return []draw.Run{{Text: text}}
		})
	}
	if len(out) == 1 {
		return nil
	}
	return out
}

// unweighedKey is the key of the mark beside measures of this card that nobody has weighed;
// "" where there are none.
func (c *card) unweighedKey() string {
	for _, m := range c.chart.Meals {
		for _, r := range m.Rows {
			for _, e := range r.Days {
				switch {
				case e.Unweighed && c.chart.Alike:
					return "amount.unweighed"
				case e.Unweighed:
					return "amount.unweighed.short"
				}
			}
		}
	}
	return ""
}
