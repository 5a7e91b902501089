package ingest

import (
	"fmt"
	"hash/crc32"
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
	return recall(w, record, func([]byte) {})
}

// recall is the same; done is told of each record that is not needed any more.
func recall(w yard.Week, record Record, done func([]byte)) yard.Week {
	if w.Beginning.IsZero() {
		return w
	}
	before := w.Beginning.AddDate(0, 0, -7)
	last := record(before)
	if last != nil {
		var ok bool
		if w, ok = lastWeek(w, last); !ok {
			last = nil // which has been said
		}
	}
	return pastWeeks(w, func(beginning time.Time) []byte {
		if beginning.Equal(before) {
			return last
		}
		return record(beginning)
	}, done)
}

// PastWeeks fills in what each horse's records of the weeks before have, at most
// [yard.MostPastWeeks]; where the workbook has rations of such a week, the record counts. A record that is not as this program writes it is skipped,
// with a finding; one that knows less of a horse leaves it unknown. w itself is not
// changed. record is called from one goroutine, week by week; as many records are held
// in memory as there are processors.
func PastWeeks(w yard.Week, record Record) yard.Week {
	return pastWeeks(w, record, func([]byte) {})
}

func pastWeeks(w yard.Week, record Record, done func([]byte)) yard.Week {
	if w.Beginning.IsZero() {
		return w
	}
	w.Horses, w.Findings = slices.Clone(w.Horses), slices.Clone(w.Findings)
	at := map[string]int{}
	for i, h := range w.Horses {
		at[fold(h.Name)] = i
		w.Horses[i].Past = slices.Clone(h.Past) // the workbook's own, where it keeps its weeks
	}
	past := make([]pastWeek, yard.MostPastWeeks)
	turns := make(chan struct{}, runtime.GOMAXPROCS(0))
	var reading sync.WaitGroup
	for i := range slices.Backward(past) { // last week's, which is held already, is done with first
		p := &past[i]
		p.beginning = w.Beginning.AddDate(0, 0, -7*(yard.MostPastWeeks-i))
		turns <- struct{}{}
		data := record(p.beginning)
		if data == nil {
			<-turns
			continue
		}
		reading.Go(func() {
			p.read(data, at)
			done(data)
			<-turns
		})
	}
	reading.Wait()
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
// year of a large yard have half a gigabyte, of which little is wanted: it is picked
// out, and the rest skipped.
func (p *pastWeek) read(data []byte, at map[string]int) {
	text := unsafe.String(unsafe.SliceData(data), len(data)) // nobody writes to it, and a copy is twice the memory
	var head recordHead
	beginning, horses, whole := asWritten(text)
	switch {
	case whole:
		head = headOf(beginning)
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
	seen := map[int]int{} // place in p.horses, by horse
	each := func(take func(_, h gjson.Result) bool) { horses.ForEach(take) }
	if whole {
		each = func(take func(_, h gjson.Result) bool) { writtenHorses(horses.Raw, take) }
	}
	each(func(_, h gjson.Result) bool {
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

// beginHorse is how a horse begins in a record as this program writes it.
const beginHorse = "\n  {"

// writtenHorses are the horses of a list as this program writes it: a horse's own brace is
// the only one after two blanks, for no text of JSON has a new line in it.
func writtenHorses(list string, take func(_, h gjson.Result) bool) {
	const end = "\n  }"
	rest, more := strings.CutPrefix(list, "[")
	for more && strings.HasPrefix(rest, beginHorse) {
		n := strings.Index(rest, end)
		if n < 0 {
			return
		}
		n += len(end)
		if !take(gjson.Result{}, gjson.Result{Type: gjson.JSON, Raw: rest[1:n]}) {
			return
		}
		rest, more = strings.CutPrefix(rest[n:], ",")
	}
}

// asWritten is the beginning of a record, and the rest from its horses on, where its
// CRC-32 says that it is to the last byte as this program has written it: of half a
// gigabyte most can then be skipped, and none need be looked through for faults.
func asWritten(text string) (beginning string, horses gjson.Result, ok bool) {
	const sum, list = ",\n \"crc32\": \"", "\n \"horses\": ["
	end := len(text) - len(sum+"01234567\"\n}\n")
	if end < 0 || !strings.HasPrefix(text[end:], sum) {
		return "", horses, false
	}
	is := crc32.ChecksumIEEE(unsafe.Slice(unsafe.StringData(text), end))
	at := strings.Index(text, list)
	if at < 0 || !strings.HasPrefix(text[at+len(list):], beginHorse) || text[end:] != fmt.Sprintf("%s%08x\"\n}\n", sum, is) {
		return "", horses, false
	}
	return text[:at], gjson.Result{Type: gjson.JSON, Raw: text[at+len(list)-1:]}, true
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
		return key.Str != "horses" || !h.ours()
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
