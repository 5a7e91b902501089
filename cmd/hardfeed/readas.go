package main

import (
	"fmt"
	"strings"

	"hardfeed/ration/yard"
	"hardfeed/report/words"
)

// mostRegions is how many tables and blocks are told of where not all is asked for.
const mostRegions = 10

// sayRegions is how the tables and blocks of a workbook were read, a sentence each; with
// all, every column too, and why it was read so.
func sayRegions(w yard.Week, all bool) string {
	if len(w.Regions) == 0 {
		return ""
	}
	var b strings.Builder
	b.WriteString("How the tables were read:\n")
	for i, r := range w.Regions {
		if !all && i == mostRegions {
			fmt.Fprintf(&b, "  and %d more (--verbose tells of all)\n", len(w.Regions)-i)
			break
		}
		fmt.Fprintf(&b, "  %s: %s.\n", visible(fmt.Sprintf("%s to %s", r.At, r.To)), visible(sayRegion(r)))
		for _, c := range r.Columns {
			if all {
				fmt.Fprintf(&b, "    %s: %s, because %s.\n", visible(headOf(c)), words.AsWritten(c.As), words.AsWritten(c.Why))
			}
		}
	}
	if !all {
		b.WriteString("  For each column and why: hardfeed check --verbose.\n")
	}
	return b.String()
}

// headOf is a column's heading with its cell.
func headOf(c yard.ColumnRead) string {
	if c.Head.Text == "" {
		return c.Head.Ref
	}
	return fmt.Sprintf("%s %q", c.Head.Ref, strings.Join(strings.Fields(c.Head.Text), " "))
}

// sayRegion is a table or a block in a line: what it is, its columns by what they are
// about, and its week.
func sayRegion(r yard.RegionRead) string {
	parts := []string{words.AsWritten(r.What)}
	if r.NotOfUse {
		return parts[0]
	}
	for i := 0; i < len(r.Columns); {
		k := i + 1
		for k < len(r.Columns) && r.Columns[k].As.Key == r.Columns[i].As.Key {
			k++
		}
		refs := r.Columns[i].Head.Ref
		if k > i+1 {
			refs += " to " + r.Columns[k-1].Head.Ref
		}
		parts = append(parts, words.AsWritten(r.Columns[i].As)+" "+refs)
		i = k
	}
	week := words.AsWritten(yard.Say("read.week unknown"))
	if !r.Week.IsZero() {
		week = words.AsWritten(yard.Say("read.week", yard.Arg{Name: "week", Value: yard.Date{Date: r.Week, Year: true}}, yard.Named("cell", yard.Place, r.WeekBy.String())))
	}
	return strings.Join(append(parts, week), "; ")
}
