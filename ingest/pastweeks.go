package ingest

import (
	"math"
	"runtime"
	"slices"
	"strings"
	"sync"
	"time"
	"unsafe"

	"github.com/tidwall/gjson"

	"hardfeed/ration/yard"
)

// Record gives results.json of the week beginning on a day; nil where there is none.
type Record func(beginning time.Time) []byte

// Recall fills in what the records of earlier weeks tell: [LastWeek] and [PastWeeks].
// w itself is not changed. A week without a date has no weeks before it.
func Recall(w yard.Week, record Record) yard.Week {
	return recall(w, record, record.held)
}

// held gives the record's bytes, of which nothing is known.
func (r Record) held(beginning time.Time) heldRecord { return heldRecord{data: r(beginning)} }

// recall is the same, with earlier records as they are held.
func recall(w yard.Week, record Record, earlier func(time.Time) heldRecord) yard.Week {
	if w.Beginning.IsZero() {
		return w
	}
	before := w.Beginning.AddDate(0, 0, -7)
	last := record(before)
	told, isRecord := w, true
	var telling sync.WaitGroup
	if last != nil {
		telling.Go(func() { told, isRecord = lastWeek(w, last) })
	}
	past := readWeeks(w, func(beginning time.Time) heldRecord {
		if beginning.Equal(before) {
			return heldRecord{data: last}
		}
		return earlier(beginning)
	})
	telling.Wait()
	if !isRecord {
		past = past[:len(past)-1] // which has been said
	}
	return tellWeeks(told, past)
}

// PastWeeks fills in what each horse's records of the weeks before have, at most
// [yard.MostPastWeeks]; where the workbook has rations of such a week, the record counts. A record that is not as this program writes it is skipped,
// with a finding; one that knows less of a horse leaves it unknown. w itself is not
// changed. record is called from one goroutine, week by week; as many records are held
// in memory as there are processors.
func PastWeeks(w yard.Week, record Record) yard.Week {
	if w.Beginning.IsZero() {
		return w
	}
	return tellWeeks(w, readWeeks(w, record.held))
}

// heldRecord is a record, as far as it is in memory.
type heldRecord struct {
	data    []byte // nil: there is none
	checked bool   // data is the front of one whose checksum matches: see [asWritten]
	done    func() // nil, or called when it is not needed any more
}

// readWeeks reads the records of the weeks before; the oldest is the first of what it
// returns, and the last that is asked for.
func readWeeks(w yard.Week, record func(time.Time) heldRecord) []pastWeek {
	at := map[string]int{}
	for i, h := range w.Horses {
		at[fold(h.Name)] = i
	}
	past := make([]pastWeek, yard.MostPastWeeks)
	turns := make(chan struct{}, runtime.GOMAXPROCS(0))
	var reading sync.WaitGroup
	for i := range slices.Backward(past) {
		p := &past[i]
		p.beginning = w.Beginning.AddDate(0, 0, -7*(yard.MostPastWeeks-i))
		turns <- struct{}{}
		held := record(p.beginning)
		if held.data == nil {
			<-turns
			continue
		}
		reading.Go(func() {
			p.read(held, at)
			if held.done != nil {
				held.done()
			}
			<-turns
		})
	}
	reading.Wait()
	return past
}

// tellWeeks puts on a week what was read of those before.
func tellWeeks(w yard.Week, past []pastWeek) yard.Week {
	w.Horses, w.Findings = slices.Clone(w.Horses), slices.Clone(w.Findings)
	told := 0
	for _, p := range past {
		told += min(1, len(p.horses))
	}
	for i, h := range w.Horses {
		w.Horses[i].Past = slices.Grow(slices.Clone(h.Past), told) // the workbook's own, where it keeps its weeks
	}
	for _, p := range past {
		p.tell(&w)
	}
	yard.SortFindings(w.Findings)
	return w
}

// pastWeek is one record, as far as it is of the week's horses.
type pastWeek struct {
	beginning time.Time
	unread    bool // not a record of that week
	horses    []pastHorse
	twice     []int // horses that are there more than once
}

type pastHorse struct {
	at     int      // of the week's horses
	hardKg yard.Num // one that cannot be
	yard.PastWeek
}

// tell puts what was read on the horses, and says what could not be.
func (p pastWeek) tell(w *yard.Week) {
	week := yard.Arg{Name: "week", Value: yard.Date{Date: p.beginning, Year: true}}
	find := func(horse, key string, args ...yard.Arg) {
		w.Findings = append(w.Findings, yard.Finding{Rule: "past-week", Severity: yard.Note, Horse: horse, Saying: yard.Say(key, append(args, week)...),
			Next: yard.Say("next.past-week")})
	}
	if p.unread {
		find("", "finding.past-week.unread")
		return
	}
	for _, i := range p.twice {
		find(w.Horses[i].Name, "finding.past-week.twice")
	}
	for _, h := range p.horses {
		if kg, odd := h.hardKg.Get(); odd {
			find(w.Horses[h.at].Name, "finding.past-week.amount", yard.Figures("kg", kg, yard.Kilograms, 6))
			continue
		}
		w.Horses[h.at].Past = withWeek(w.Horses[h.at].Past, h.PastWeek)
	}
}

// withWeek puts a week of the records in its place, and in that of the workbook's own.
func withWeek(past []yard.PastWeek, p yard.PastWeek) []yard.PastWeek {
	i, found := slices.BinarySearchFunc(past, p.Beginning, func(a yard.PastWeek, day time.Time) int { return a.Beginning.Compare(day) })
	if found {
		past[i] = p
		return past
	}
	return slices.Insert(past, i, p)
}

// read takes a record apart; at has the places of the week's horses. Records of half a
// year of a large yard have half a gigabyte, of which little is wanted: it is read where
// the record has it together, or else picked out, and the rest skipped.
func (p *pastWeek) read(held heldRecord, at map[string]int) {
	text := unsafe.String(unsafe.SliceData(held.data), len(held.data)) // nobody writes to it, and a copy is twice the memory
	front, body, whole := text, "", held.checked
	if !whole {
		front, body, whole = asWritten(text)
	}
	var head recordHead
	var horses gjson.Result
	each := func(take func(h gjson.Result) bool) {
		horses.ForEach(func(_, h gjson.Result) bool { return take(h) })
	}
	switch {
	case whole:
		head, each = headOf(front), writtenHorses(body)
		if list, ok := forLaterWeeks(front); ok {
			each = writtenLines(list)
		}
	case gjson.Valid(text):
		gjson.Parse(text).ForEach(func(key, v gjson.Result) bool {
			head.take(key.Str, v)
			if key.Str == "horses" {
				horses = v
			}
			return true
		})
	}
	if !head.of(p.beginning) || horses.Type != gjson.Null && !horses.IsArray() {
		p.unread = true
		return
	}
	p.horses = make([]pastHorse, 0, len(at))
	seen := make(map[int]int, len(at)) // place in p.horses, by horse
	each(func(h gjson.Result) bool {
		read := readPastHorse(h, p.beginning)
		i, ok := at[fold(read.name)]
		if !ok {
			return true
		}
		if k, again := seen[i]; again {
			if k >= 0 {
				p.horses[k].at = -1
				p.twice = append(p.twice, i)
				seen[i] = -1
			}
			return true
		}
		seen[i] = len(p.horses)
		p.horses = append(p.horses, pastHorse{i, read.odd, read.PastWeek})
		return true
	})
	p.horses = slices.DeleteFunc(p.horses, func(h pastHorse) bool { return h.at < 0 })
}

// recordHead is what a record says about itself.
type recordHead struct {
	schema  float64
	program string
	yard    string
	week    string
	edition int // 0: nobody counted
}

// take takes down a field of a record, if it is one of the head's.
func (h *recordHead) take(field string, v gjson.Result) {
	switch field {
	case "schema":
		h.schema = v.Num
	case "program":
		h.program = strings.Clone(v.Str)
	case "yard":
		h.yard = strings.Clone(v.Str)
	case "week":
		h.week = strings.Clone(v.Str)
	case "edition":
		h.edition = int(min(max(v.Num, 0), 1e6))
	}
}

func (h recordHead) ours() bool { return h.schema == recordSchema && h.program == "hardfeed" }

// headOf reads it of a record's beginning, where this program has written it: before the
// horses.
func headOf(beginning string) (h recordHead) {
	gjson.Parse(beginning).ForEach(func(key, v gjson.Result) bool {
		h.take(key.Str, v)
		return key.Str != "horses" && key.Str != "for_later_weeks" || !h.ours()
	})
	return h
}

// recordSchema is the version of results.json that is read.
const recordSchema = 1

func (h recordHead) of(beginning time.Time) bool {
	return h.ours() && h.week == beginning.Format(time.DateOnly)
}

// readHorse is one horse of a record.
type readHorse struct {
	name string
	odd  yard.Num // the hard feed of its card, where that cannot be
	yard.PastWeek
}

// readPastHorse picks out of a horse what is wanted, in one walk over its fields.
func readPastHorse(h gjson.Result, beginning time.Time) (r readHorse) {
	r.Beginning = beginning
	status, atLeast := "", false
	var supply, work, cold yard.Num
	left := 11 // fields that are wanted: where they have been met, the rest of the horse is skipped
	h.ForEach(func(key, v gjson.Result) bool {
		left--
		switch key.Str {
		case "name":
			r.name = v.Str // only compared: what is kept is cloned, or the whole record would be
		case "status":
			status = v.Str
		case "body_weight_kg":
			r.WeightKg = amountOf(v, mostWeightKg)
		case "body_weight_basis":
			r.Basis = yard.WeightBasis(strings.Clone(v.Str))
		case "work_at_least":
			atLeast = v.Type != gjson.False
		case "de_mcal":
			supply, work, cold = amountOf(v.Get("supply"), mostMcal), amountOf(v.Get("work"), mostMcal), amountOf(v.Get("cold"), mostMcal)
			r.ForageMcal, r.DoubtMcal = amountOf(v.Get("supply_forage"), mostMcal), amountOf(v.Get("supply_estimated_sd"), mostMcal)
		case "hard_feed_kg":
			card := v.Get("card")
			r.HardKg, r.FromKg = amountOf(card, mostDayKg), amountOf(v.Get("now"), mostDayKg)
			if card.Type == gjson.Number && !r.HardKg.IsKnown() {
				r.odd = yard.Known(card.Num)
			}
		case "step":
			r.WarnKg, r.StopKg = amountOf(v.Get("warn_kg"), mostDayKg), amountOf(v.Get("stop_kg"), mostDayKg)
		case "days":
			r.readDays(v)
		case "week_minutes":
			left++ // not beside days
			r.readMinutes(v)
		case "events":
			left++
			r.readEvents(v)
		case "fed_mcal":
			r.CardEnd, r.Now, r.WorkBefore = fedOf(v.Get("card_end")), fedOf(v.Get("now")), amountOf(v.Get("work_before"), mostMcal)
		case "last_weighing":
			r.Weighed = weighingOf(v)
		default:
			left++
		}
		return left > 0
	})
	if status != string(yard.Carded) && status != string(yard.Held) {
		r.HardKg, r.WarnKg, r.StopKg, r.ForageMcal, r.DoubtMcal, r.odd = yard.Num{}, yard.Num{}, yard.Num{}, yard.Num{}, yard.Num{}, yard.Num{}
	}
	all, known := supply.Get()
	forage, forageKnown := r.ForageMcal.Get()
	worked, workKnown := work.Get()
	r.Full = known && forageKnown && workKnown && !atLeast && r.DoubtMcal.IsKnown() && r.WorkMinutes().IsKnown() && r.HardKg.IsKnown()
	if !r.Full {
		r.ForageMcal, r.DoubtMcal = yard.Num{}, yard.Num{}
		return r
	}
	r.OtherMcal, r.WorkMcal = yard.Known(max(0, all-forage)), yard.Known(worked+cold.Or(0))
	r.ColdMcal = yard.Known(cold.Or(0)) // no temperature: no cold was counted
	return r
}

// What no horse's figures go over: those of a record that is not as this program
// writes them. A 900 kg horse in very heavy work needs 62 Mcal a day.
const mostMcal, mostDayKg, mostWeightKg = 300, 100, 3000

// amountOf is a figure of 0 or more; unknown where it is null or cannot be.
func amountOf(v gjson.Result, most float64) yard.Num {
	if v.Type != gjson.Number || !(v.Num >= 0 && v.Num <= most) {
		return yard.Num{}
	}
	return yard.Known(v.Num)
}

// fedOf is the energy of a day's feed.
func fedOf(v gjson.Result) yard.FedEnergy {
	return yard.FedEnergy{Forage: amountOf(v.Get("forage"), mostMcal), Other: amountOf(v.Get("other"), mostMcal)}
}

// weighingOf is a weighing; none where its date cannot be read.
func weighingOf(v gjson.Result) yard.Weighing {
	date, err := time.Parse(time.DateOnly, v.Get("date").Str)
	if err != nil {
		return yard.Weighing{}
	}
	return yard.Weighing{Date: date, Kg: amountOf(v.Get("kg"), mostWeightKg), Basis: yard.WeightBasis(strings.Clone(v.Get("basis").Str))}
}

// gaits are the gaits by their fields.
var gaits = func() map[string]yard.Gait {
	all := map[string]yard.Gait{}
	for g := range yard.Gaits {
		all[g.String()] = g
	}
	return all
}()

// readDays reads the work of the seven days, and the events among them.
func (r *readHorse) readDays(days gjson.Result) {
	var minutes [yard.Gaits]float64
	n, known := 0, 0
	days.ForEach(func(_, day gjson.Result) bool {
		day.ForEach(func(key, v gjson.Result) bool {
			switch key.Str {
			case "kind":
				if v.Str == string(yard.EventDay) {
					r.Events = append(r.Events, yard.PastEvent{Date: r.Beginning.AddDate(0, 0, n), Text: strings.Clone(day.Get("work").Str)})
				}
			case "sessions":
				whole := v.IsArray() // null: not known
				v.ForEach(func(_, s gjson.Result) bool {
					var session [yard.Gaits]yard.Num
					s.ForEach(func(key, v gjson.Result) bool {
						if g, ok := gaits[key.Str]; ok {
							session[g] = amountOf(v, 24*60)
						}
						return true
					})
					for g, m := range session {
						whole = whole && m.IsKnown()
						minutes[g] += m.Or(0)
					}
					return true
				})
				if whole {
					known++
				}
			}
			return true
		})
		n++
		return n < 7
	})
	for g := range minutes {
		if n == 7 && known == 7 {
			r.Minutes[g] = yard.Known(minutes[g])
		}
	}
}

// readMinutes reads the week's work as it is among what is for later weeks.
func (r *readHorse) readMinutes(minutes gjson.Result) {
	minutes.ForEach(func(key, v gjson.Result) bool {
		if g, ok := gaits[key.Str]; ok {
			r.Minutes[g] = amountOf(v, math.MaxFloat64)
		}
		return true
	})
}

// readEvents reads the events beside it.
func (r *readHorse) readEvents(events gjson.Result) {
	events.ForEach(func(_, e gjson.Result) bool {
		r.Events = append(r.Events, yard.PastEvent{Date: r.Beginning.AddDate(0, 0, int(e.Get("day").Num)), Text: strings.Clone(e.Get("work").Str)})
		return true
	})
}
