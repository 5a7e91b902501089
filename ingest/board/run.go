package board

func (b *book) gather() {
	b.readLegends()
	b.regions()
	if b.effort.tooMany {
		return
	}
	b.who.aliases(b.tables)
	for _, t := range b.tables {
		if !t.g.blank {
			b.readTable(t)
		}
	}
	b.readForms()
	b.doubtColumns()
	b.sortObs()
	b.settleSheets()
	b.remarks()
	b.chooseWeek()
	b.massUnit()
}
