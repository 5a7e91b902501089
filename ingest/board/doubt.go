package board

// columnDoubts looks whether columns hold what their headings say.
type columnDoubts struct {
	tables []*table
	obs    []*obs
	asks   *questions
	lang   *language
}

// doubtColumns looks at the columns read as feed or as work. One whose cells are work
// under a heading taken for feed, or feed under a heading taken for work, is not used,
// and asked about at its heading.
func (cd *columnDoubts) doubtColumns() {
	for _, t := range cd.tables {
		if t.kind != "" || t.g.page.blank {
			continue
		}
		cd.doubtWeeks(t)
		for _, k := range t.cols {
			if k.role != feedRole && k.role != workRole || k.own == nil || !cd.otherwiseFilled(t, k) {
				continue
			}
			cd.leaveOut(t, k)
		}
	}
}

// doubtWeeks asks about the days of a table that are there twice, where nothing says
// which of them are of which week.
func (cd *columnDoubts) doubtWeeks(t *table) {
	twice := false
	for _, k := range t.cols {
		if k.role == workRole && (!k.date.IsZero() || len(k.days) > 0 || k.lab.has("lastweek", "thisweek", "nextweek", "now", "plan") || k.group != nil && k.group != k.own) {
			return
		}
		twice = twice || k.role == workRole && k.shift != 0
	}
	if !twice {
		return
	}
	for _, k := range t.cols {
		if k.role == workRole && k.day >= 0 && k.own != nil {
			cd.leaveOut(t, k)
		}
	}
}

// leaveOut takes a column for one nobody knows, and asks about it at its heading.
func (cd *columnDoubts) leaveOut(t *table, k *column) {
	k.settle(noRole, "in doubt")
	for _, o := range cd.obs {
		if o.col == k {
			o.role = noRole
		}
	}
	cd.asks.add("unused\x00"+t.g.page.Name+"\x00"+k.own.Ref(), ask{rule: "column-unused", word: k.own.Text, cell: k.own, sheet: t.g.page})
}

// otherwiseFilled says whether the cells of a column read as work under a heading of
// feed, or as feed under a heading of work: most of three or more, and hardly one as
// what the heading says.
func (cd *columnDoubts) otherwiseFilled(t *table, k *column) bool {
	n, fits, other := 0, 0, 0
	for r := t.h2 + 1; r < t.end; r++ {
		c := t.g.at(r, k.at)
		if !c.written() || dash(c.Text) || ditto(c.Text) || isNumber(c.Text) || t.g.at(r, t.name) == nil {
			continue
		}
		n++
		feed, work := cd.lang.isAmount(c.Text), cd.lang.isTimedWork(c.Text)
		if k.role == workRole {
			feed, work = work, feed
		}
		switch {
		case feed || cd.lang.sameAsNow(c.Text):
			fits++
		case work:
			other++
		}
	}
	return other >= 3 && other*10 >= n*6 && fits*5 <= other
}
