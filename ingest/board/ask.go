package board

import (
	"slices"
	"strconv"

	"hardfeed/ingest/phrase"
	"hardfeed/ration/yard"
)

// ask is one question for the manager, for all the cells it is about.
type ask struct {
	rule   string
	why    string
	word   string // what it is about, as written
	near   string
	at     *obs
	cell   *Cell
	sheet  *sheetData
	horses []int
	cells  int
	unit   string
	feed   string
	note   bool // said, not asked
	value  float64
	days   map[int][]int // of each horse
}

// questions are all that is asked of the manager, each once for all cells it is about, in
// the order they came up.
type questions struct {
	asked []ask
	at    map[string]int // by what they are about: where in asked
	quiet bool           // nothing is asked just now
	extra []yard.Finding // said besides
}

func newQuestions() *questions { return &questions{at: map[string]int{}} }

// add adds a cell to the question that a key is for, and is that question; where
// nothing is asked just now, one that nobody hears.
func (qs *questions) add(key string, a ask) *ask {
	if qs.quiet {
		return &a
	}
	i, ok := qs.at[key]
	if !ok {
		i = len(qs.asked)
		qs.at[key] = i
		qs.asked = append(qs.asked, a)
	}
	x := &qs.asked[i]
	x.cells++
	if a.at != nil {
		for _, h := range x.horses {
			if h == a.at.horse {
				return x
			}
		}
		x.horses = append(x.horses, a.at.horse)
	}
	return x
}

// say keeps what is said besides the questions.
func (qs *questions) say(f yard.Finding) { qs.extra = append(qs.extra, f) }

// askCell asks about a cell, together with all that say the same in a column of
// the same sort.
func (qs *questions) askCell(rule string, o *obs, why string) {
	if o.cell != nil && !qs.quiet {
		o.sheet.remark(o.cell, "asked", "")
	}
	qs.add(rule+"\x00"+why+"\x00"+foldName(o.cell.Text)+"\x00"+o.cell.Text, ask{rule: rule, why: why, word: o.cell.Text, at: o, cell: o.cell, sheet: o.sheet})
}

// askWork asks about a word of work.
func (qs *questions) askWork(o *obs, d phrase.Doubt) {
	o.sheet.remark(o.cell, "asked", "")
	word := d.Word
	if word == "" {
		word = o.cell.Text
	}
	key := "work\x00" + string(d.Kind) + "\x00" + foldName(o.cell.Text)
	if d.Kind == phrase.WhatWork && isNumber(o.cell.Text) { // one unit answers for all numbers of a sheet
		key = "work\x00" + string(d.Kind) + "\x00" + o.sheet.Name
	}
	cell := o.cell
	if d.Kind == phrase.WhatWork && isNumber(o.cell.Text) && o.col != nil && o.col.group != nil {
		cell = o.col.group // it speaks of all of them
	}
	qs.add(key, ask{rule: "work-word", why: string(d.Kind), word: o.cell.Text, feed: word, near: d.Near, at: o, cell: cell, sheet: o.sheet})
}

// sayDefault says what was taken for a word without a length.
func (qs *questions) sayDefault(o *obs, d phrase.Default) {
	qs.add("work-default\x00"+foldName(d.Word)+"\x00"+foldName(o.cell.Text), ask{rule: "work-length", word: o.cell.Text, feed: d.Word, at: o, cell: o.cell, sheet: o.sheet, value: d.Minutes, note: true})
}

// noteVague notes a feed nobody weighs: a handful of chaff.
func (qs *questions) noteVague(o *obs, feed string) {
	qs.add("vague\x00"+foldName(feed), ask{rule: "amount-vague", word: o.cell.Text, feed: feed, at: o, cell: o.cell, sheet: o.sheet, note: true})
}

// noteSize says that a measure of another size counts as the plain one: "1 heaped
// scoop".
func (qs *questions) noteSize(o *obs, p phrase.Part) {
	qs.add("size\x00"+p.Size+"\x00"+p.Unit, ask{rule: "amount-vague", why: "size", word: o.cell.Text, near: p.Size, unit: p.Unit, at: o, cell: o.cell, sheet: o.sheet, note: true})
}

// askBlank asks about what is planned for a horse with nothing written under it.
func (qs *questions) askBlank(k *column, o *obs) {
	head := k.own
	if head == nil {
		return
	}
	qs.add("blank\x00"+o.sheet.Name+head.Ref(), ask{rule: "amount-blank", word: head.Text, at: o, cell: head, sheet: o.sheet})
}

// askColumn asks what a column is about.
func (qs *questions) askColumn(o *obs) {
	qs.add("unused\x00"+o.sheet.Name+"\x00"+o.head.Ref(), ask{rule: "column-unused", word: o.head.Text, cell: o.head, sheet: o.sheet, at: o})
}

// askBlankMeal asks about a meal of a horse, once for all horses under one heading.
func (qs *questions) askBlankMeal(t *table, k *column, horse int) {
	key := "blankmeal\x00" + t.g.page.Name + "\x00" + k.own.Ref()
	x := qs.add(key, ask{rule: "amount-blank", why: "meal", word: k.own.Text, cell: k.own, sheet: t.g.page})
	if !slices.Contains(x.horses, horse) {
		x.horses = append(x.horses, horse)
	}
}

// sayIll notes a condition the engine has no rule for.
func (qs *questions) sayIll(h *horse, o *obs, x illness) {
	qs.add("ill\x00"+h.name+x.key, ask{rule: "diagnosis-word", why: x.key, word: o.cell.Text, feed: x.text, at: o, cell: o.cell, sheet: o.sheet, note: true})
}

// unusedCell names a cell nothing was made of, together with the others of its
// column, or of its sheet where it stands in no column of a table.
func (qs *questions) unusedCell(s *sheetData, c *Cell, k *column, note bool) {
	s.mark(c, "unused", "")
	if k != nil && k.own != nil {
		qs.add("unused\x00"+s.Name+"\x00"+k.own.Ref(), ask{rule: "column-unused", word: k.own.Text, cell: k.own, sheet: s, note: note})
		return
	}
	qs.add("unused\x00"+s.Name, ask{rule: "cell-unused", word: c.Text, cell: c, sheet: s, note: note})
}

// askWeek asks which week is planned, or which year it is in.
func askWeek(asks *questions, cal *calendar, week plannedWeek) {
	switch {
	case week.first.IsZero():
		asks.add("week", ask{rule: "week-unknown"})
	case cal.guessedYear:
		for _, w := range cal.weeks {
			if w.from.y == 0 && w.whole.IsZero() {
				asks.add("week", ask{rule: "week-year", word: w.text, feed: strconv.Itoa(week.first.Year()), sheet: w.sheet, cell: w.cell, note: !cal.doubtfulYear})
				return
			}
		}
	}
}
