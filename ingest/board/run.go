package board

func (b *book) gather() {
	b.lang = &language{}
	b.regions()
	b.aliases()
	for _, t := range b.tables {
		if !t.g.blank {
			b.readTable(t)
		}
	}
	b.readForms()
}
