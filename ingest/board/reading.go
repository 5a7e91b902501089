package board

import (
	"hardfeed/ingest/phrase"
	"hardfeed/ingest/quantity"
)

// reading is what a text says wherever it stands. Each text is read once, however many
// cells say it: a yard's week says a few things a thousand times.
type reading struct {
	// What it says as a heading, a letter of a week, work, feed, illness; nil: not read yet.
	label  *label
	letter *dayLetter
	work   *phrase.Work
	amount *phrase.Amount
	ills   *[]phrase.Condition
	over   *measureHeading

	weights map[string]quantity.Weight // as a horse's, by the unit its figures alone are in

	name    string  // as names are compared; "": not folded yet
	sign    verdict // it is a dash or a ditto mark
	joins   verdict // it may name several horses
	likely  verdict // it has the shape of a name, and is no word of headings
	figures verdict // it may be a name with figures in it
	noHorse *string // what it is where it is no name: "a total"; "" it may be one; nil: not asked
	subject string  // as a heading's; "": not put together yet
	weight  verdict // a horse can weigh it
	same    verdict // it means "as it is now" or "nothing"

	adorns  phrase.DecorationKind // what it is where it is no fact
	adorned bool                  // that is known
}

// readings are those of the texts met so far.
type readings map[string]*reading

func (m readings) of(text string) *reading {
	r := m[text]
	if r == nil {
		r = &reading{}
		m[text] = r
	}
	return r
}

// at is the reading of a cell's text.
func (m readings) at(c *Cell) *reading {
	if c.read == nil {
		c.read = m.of(c.Text)
	}
	return c.read
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

// forget has every text read again, with what has been learnt since.
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
func (v *vocabulary) read(text string) *label { return v.labelled(v.memo.of(text), text) }

// readCell is [vocabulary.read] of a cell's text.
func (v *vocabulary) readCell(c *Cell) *label { return v.labelled(v.memo.at(c), c.Text) }

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
func (v *vocabulary) nameOf(c *Cell) string {
	r := v.memo.at(c)
	if r.name == "" {
		r.name = foldName(v.lang.nameCell(c.Text).name)
	}
	return r.name
}
