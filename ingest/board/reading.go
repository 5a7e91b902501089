package board

// reading is what a text says wherever it stands. Each text is read once, however many
// cells say it: a yard's week says a few things a thousand times.
type reading struct {
	label  *label     // as a heading; nil: not read yet
	letter *dayLetter // as a letter of a week; nil: not read yet
	name   string     // as names are compared; "": not folded yet
	sign   verdict    // it is a dash or a ditto mark
	joins  verdict    // it may name several horses
	likely verdict    // it has the shape of a name, and is no word of headings
	empty  verdict    // it is an empty stable
}

// verdict is an answer that is kept.
type verdict int8

const (
	unasked verdict = iota
	yes
	no
)

// is answers, asking only once.
func (v *verdict) is(ask func() bool) bool {
	if *v == unasked {
		*v = no
		if ask() {
			*v = yes
		}
	}
	return *v == yes
}

// reading is what is known of a text.
func (v *vocabulary) reading(text string) *reading {
	r := v.memo[text]
	if r == nil {
		r = &reading{}
		v.memo[text] = r
	}
	return r
}

// of is [vocabulary.reading] of a cell's text.
func (v *vocabulary) of(c *Cell) *reading {
	if c.read == nil {
		c.read = v.reading(c.Text)
	}
	return c.read
}

// forget has every text of some sheets read again, with what has been learnt since.
func (v *vocabulary) forget(sheets []*sheetData) {
	clear(v.memo)
	for _, s := range sheets {
		for i := range s.Sheet.Cells {
			c := &s.Sheet.Cells[i]
			c.read, c.heading = nil, unasked
		}
	}
}

// read takes a heading apart.
func (v *vocabulary) read(text string) *label { return v.labelled(v.reading(text), text) }

// readCell is [vocabulary.read] of a cell's text.
func (v *vocabulary) readCell(c *Cell) *label { return v.labelled(v.of(c), c.Text) }

func (v *vocabulary) labelled(r *reading, text string) *label {
	if r.label == nil {
		r.label = v.readText(text)
		if l := r.label; l.nums > 0 && len(l.dates) == 0 { // texts that say the same but for their numbers share a label
			says := l.says()
			if same, ok := v.same[says]; ok {
				r.label = same
			} else {
				v.same[says] = l
			}
		}
	}
	return r.label
}

// nameOf is a cell's text as names are compared.
func (b *book) nameOf(c *Cell) string {
	r := b.words.of(c)
	if r.name == "" {
		r.name = foldName(c.Text)
	}
	return r.name
}

// knows says whether a cell names a horse the book knows.
func (b *book) knows(c *Cell) bool { return b.known[b.nameOf(c)] }

// emptyStable says whether a cell stands for a stable without a horse.
func (b *book) emptyStable(c *Cell) bool {
	return c.Kind == Text && b.words.of(c).empty.is(func() bool { return b.lang.emptyStable(c.Text) })
}
