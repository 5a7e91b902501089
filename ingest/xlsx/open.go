package xlsx

import (
	"errors"
	"fmt"
	"strings"
	"time"

	"hardfeed/ration/yard"
)

// Book is a workbook that was read whole.
type Book struct {
	Sheets []Sheet   // worksheets, in the workbook's order
	Lost   int       // texts the workbook keeps for cells that no cell shows
	Saved  time.Time // the day it was last saved, as it says; zero: it does not
	Ours   bool      // it says that it is a result of this program
	Data   []byte    // its bytes, the parts in their usual places
}

// Open reads the bytes of a workbook. Name is the file's and serves only the sentences.
// The error is a [*Refused].
func Open(name string, data []byte) (*Book, error) { return openWith(name, data, preflight) }

func openWith(name string, data []byte, look func([]byte) (*scan, error)) (book *Book, err error) {
	data = InUsualPlaces(data)
	if r := sniff(name, data); r != nil {
		return nil, r
	}
	// What others wrote is read here, by us and by a library; a panic in either
	// must cost this workbook only.
	defer func() {
		if p := recover(); p != nil {
			book, err = nil, Fault(name, p)
		}
	}()
	seen, err := look(data)
	if err != nil {
		return nil, refusal(name, err)
	}
	sheets, err := readSheets(seen)
	if err != nil {
		return nil, refusal(name, err)
	}
	return &Book{Sheets: sheets, Lost: seen.lost(), Saved: seen.saved, Ours: seen.ours, Data: data}, nil
}

// Fault is the refusal of a workbook on which this program itself failed.
func Fault(name string, panicked any) *Refused {
	return refuseFile(fmt.Errorf("panic: %v", panicked), "refused.fault", name)
}

// refusal says of a file why it was not read: too large, or damaged.
func refusal(name string, err error) *Refused {
	var big tooBig
	if errors.As(err, &big) {
		return Refuse(err, yard.Say("refused.too big", yard.Named("file", yard.Place, name), yard.Said("why", big.Told())))
	}
	return damaged(name, err)
}

// lost says how many texts the workbook keeps for its cells that no cell shows.
// A program that saves a workbook writes the texts of its cells and no others,
// and most say how many cells use them.
func (s *scan) lost() int {
	n := 0
	for i, used := range s.used {
		if !used && strings.TrimSpace(s.strings[i]) != "" {
			n++
		}
	}
	if more := s.counted - s.textual; more != s.headings {
		n = max(n, more)
	}
	return n
}

// Formula is a formula of a workbook, and what it last came to.
type Formula struct {
	Sheet    string
	Row, Col int
	Text     string // cut after 200 bytes; "" where cells share one that is in the first of them
	Whole    bool   // text is all of it
	Value    string
}

// Formulas are the formulas of a workbook that [Open] reads, sheet by sheet in reading
// order.
func Formulas(data []byte) ([]Formula, error) {
	s, err := preflight(data)
	if err != nil {
		return nil, err
	}
	var all []Formula
	for _, sh := range s.sheets {
		for _, c := range sh.cells {
			if c.isCalc {
				all = append(all, Formula{sh.name, c.row, c.col, c.formula, len(c.formula) < maxFormulaText, c.value})
			}
		}
	}
	return all, nil
}
