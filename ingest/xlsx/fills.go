package xlsx

import "strconv"

// mostFilled is how many cells with nothing in them but a colour are kept of a sheet: far more
// than a yard's week has days.
const mostFilled = 20_000

// filled is an empty cell that has a style of its own.
type filled struct{ row, col, style int }

// cellFills are the colours that the cell styles fill a cell with: as the file writes them,
// "" for none, for a pattern and for white.
func cellFills(b string) (all []string, err error) {
	var fills []string
	inFills, inCells, solid, some := false, false, false, false
	err = tokens(b, func(t *token) error {
		if t.kind == elementEnd {
			inFills = inFills && t.name != "fills"
			inCells = inCells && t.name != "cellXfs"
			return nil
		}
		if t.kind != elementStart {
			return nil
		}
		switch t.name {
		case "fills":
			inFills = true
		case "fill":
			if inFills {
				fills, solid = append(fills, ""), false
			}
		case "patternFill":
			v, _ := t.attr("patternType")
			solid = v == "solid"
		case "fgColor":
			if n := len(fills); inFills && solid && n > 0 {
				fills[n-1] = colourOf(t)
				some = some || fills[n-1] != ""
			}
		case "cellXfs":
			inCells = true
		case "xf":
			if inCells {
				id, _ := t.attr("fillId")
				if n, err := strconv.Atoi(id); err == nil && n >= 0 && n < len(fills) {
					all = append(all, fills[n])
				} else {
					all = append(all, "")
				}
			}
		}
		return nil
	})
	if !some {
		return nil, err
	}
	return all, err
}

// colourOf is a colour as the file writes it, with its tint; "" of white, which is the
// first of a theme's colours (ECMA-376 part 1, 18.3.1.15 and 20.1.6.2).
func colourOf(t *token) string {
	if v, ok := t.attr("rgb"); ok {
		if len(v) == 8 {
			v = v[2:]
		}
		if v == "FFFFFF" || v == "ffffff" {
			return ""
		}
		return v
	}
	tint, _ := t.attr("tint")
	for _, by := range []string{"theme", "indexed"} {
		if v, ok := t.attr(by); ok {
			if by == "theme" && v == "0" && tint == "" || by == "indexed" && (v == "64" || v == "65" || v == "9" || v == "1") {
				return ""
			}
			return by + v + " " + tint
		}
	}
	return ""
}

// fillsOf are the colours of a sheet's cells, by row and column; nil where none has one.
func (s *scan) fillsOf(ss *scannedSheet) map[[2]int]string {
	if len(s.fills) == 0 {
		return nil
	}
	out := map[[2]int]string{}
	keep := func(row, col, style int) {
		if style < len(s.fills) && s.fills[style] != "" {
			out[[2]int{row, col}] = s.fills[style]
		}
	}
	for _, f := range ss.filled {
		keep(f.row, f.col, f.style)
	}
	if len(out) == 0 {
		return nil // no empty cell has one: what is written counts
	}
	for i := range ss.cells {
		keep(ss.cells[i].row, ss.cells[i].col, ss.cells[i].style)
	}
	return out
}
