// Package record is the plan for programs and for next week: results.json and its
// schema, results.xlsx, what a new edition changed, and how each number came about.
package record

import (
	"bufio"
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"hash/crc32"
	"io"
	"strings"
	"time"

	"hardfeed/ration/yard"
	"hardfeed/report/words"
)

// schema is the version of results.json. Fields may be added under the same
// number; name, unit and meaning of those below stay.
const schema = 1

// Record is what results.json holds.
type Record struct {
	Schema    int                   `json:"schema"`
	Program   string                `json:"program"`
	Version   string                `json:"version"`
	Yard      string                `json:"yard"`
	Week      *string               `json:"week"` // ISO 8601 date of the first day
	Edition   int                   `json:"edition,omitempty"`
	Changes   []words.EditionChange `json:"changes_since_last_edition,omitempty"`
	Units     string                `json:"units"`
	Standard  string                `json:"standard"`
	WorkModel string                `json:"work_model"`
	Read      recordRead            `json:"read"`
	Forage    *recordForage         `json:"forage"` // null: no weighings tell of it
	Later     []laterHorse          `json:"for_later_weeks"`
	Horses    []recordHorse         `json:"horses"`
	Feeds     []recordFeed          `json:"feeds"`
	Findings  []recordFinding       `json:"findings"`
	Contacts  []recordContact       `json:"contacts"` // who to ring, in order

	// CRC32 is written last, of everything up to the comma in front of it: later
	// weeks need not look through half a gigabyte for a fault.
	CRC32 string `json:"crc32,omitempty"`
}

type recordContact struct {
	Role  string `json:"role"`
	Name  string `json:"name"`
	Phone string `json:"phone"`
}

type recordRead struct {
	Sheets int `json:"sheets"`
	Rows   int `json:"rows"`
	Horses int `json:"horses"`
}

type recordHorse struct {
	Name            string   `json:"name"`
	Status          string   `json:"status"`
	NoCardWhy       []string `json:"no_card_why"`
	HeldWhy         []string `json:"held_why"`
	BodyWeightKg    yard.Num `json:"body_weight_kg"`
	BodyWeightBasis string   `json:"body_weight_basis"`
	ConditionScore  yard.Num `json:"condition_score"`
	Fitness         string   `json:"fitness"`
	WorkClass       *string  `json:"work_class"`
	WorkMinutes     float64  `json:"work_minutes"`
	WorkAtLeast     bool     `json:"work_at_least"`
	DEMcal          struct {
		Maintenance   yard.Num   `json:"maintenance"`
		Work          yard.Num   `json:"work"`
		Change        yard.Num   `json:"change"`
		Cold          yard.Num   `json:"cold"`
		Own           yard.Num   `json:"own"` // what the horse's own evidence adds or takes off
		Need          yard.Num   `json:"need"`
		NeedLow       yard.Num   `json:"need_low"` // of horses of its kind
		NeedHigh      yard.Num   `json:"need_high"`
		Supply        yard.Num   `json:"supply"`
		SupplyAtLeast yard.Num   `json:"supply_at_least"`
		SupplyRange   yard.Range `json:"supply_range"`
		SupplyForage  yard.Num   `json:"supply_forage"`       // of supply, what forage brings
		SupplyDoubt   yard.Num   `json:"supply_estimated_sd"` // of what is eaten and not served: grass, ad lib
		ClassNeed     yard.Num   `json:"class_need"`
	} `json:"de_mcal"`
	FedMcal      recordLearn     `json:"fed_mcal"`
	LastWeighing *recordWeighing `json:"last_weighing"`
	Evidence     *recordEvidence `json:"evidence"` // null: its weighings tell nothing yet
	HardFeedKg   struct {
		Now     yard.Num `json:"now"`
		Planned yard.Num `json:"planned"`
		Target  yard.Num `json:"target"`
		Card    yard.Num `json:"card"`
	} `json:"hard_feed_kg"`
	PastHardFeed []recordPast `json:"past_hard_feed"` // of the records of weeks before; empty without any
	Step         struct {
		RiseKg        yard.Num    `json:"rise_kg"`
		WarnKg        yard.Num    `json:"warn_kg"`
		StopKg        yard.Num    `json:"stop_kg"`
		DayWarnKg     yard.Num    `json:"day_warn_kg"`
		DayStopKg     yard.Num    `json:"day_stop_kg"`
		Verdict       string      `json:"verdict"`
		WeeksToTarget yard.Num    `json:"weeks_to_target"`
		PathKg        []yard.Num  `json:"path_kg"`
		DayKg         [7]yard.Num `json:"day_kg"`

		Ahead []recordWeekAhead `json:"ahead"`
	} `json:"step"`
	SweatKg        yard.Num         `json:"sweat_kg"`
	SweatFrom      string           `json:"sweat_from"`
	WaterLitres    yard.Range       `json:"water_l"`
	OtherStandards []recordStandard `json:"other_standards"` // nothing rests on them
	DMPctBW        yard.Num         `json:"dm_pct_bw"`
	ForageDMPctBW  yard.Num         `json:"forage_dm_pct_bw"`
	StarchPerMeal  yard.Num         `json:"starch_g_per_kg_meal_max"`
	Days           [7]recordDay     `json:"days"`
	Ration         []recordServing  `json:"ration"`
	Nutrients      []recordNutrient `json:"nutrients"`
	Changes        []recordChange   `json:"changes"`
	Cautions       []string         `json:"cautions"`
	Diagnoses      []string         `json:"diagnoses"` // a vet's, as written
	Notes          string           `json:"notes"`     // for those who feed it, as written
	Findings       []recordFinding  `json:"findings"`
}

type recordPast struct {
	Week   string   `json:"week"` // its first day
	CardKg yard.Num `json:"card_kg"`
}

// recordLearn is what later weeks learn from beside the card: DE a day as the tables count it.
type recordLearn struct {
	CardEnd    recordFed `json:"card_end"`    // the ordinary work day the week ends on
	Now        recordFed `json:"now"`         // an ordinary work day, as fed in the week before
	WorkBefore yard.Num  `json:"work_before"` // energy of the work done in the week before
}

func learnOf(w yard.WeekEnergy) recordLearn {
	return recordLearn{fedOf(w.CardEnd), fedOf(w.Now), words.Clean(w.WorkBefore)}
}

type recordFed struct {
	Forage yard.Num `json:"forage"`
	Other  yard.Num `json:"other"`
}

func fedOf(f yard.FedEnergy) recordFed {
	return recordFed{words.Clean(f.Forage), words.Clean(f.Other)}
}

type recordStandard struct {
	Standard    string     `json:"standard"`
	Unit        string     `json:"unit"`
	Maintenance yard.Range `json:"maintenance"`
	Work        yard.Range `json:"work"`
	Total       yard.Range `json:"total"`
	Assumed     string     `json:"assumed"`
	Source      string     `json:"source"`
}

type recordDay struct {
	Day        string   `json:"day"`
	Kind       string   `json:"kind"`
	Work       string   `json:"work"`
	HardFeedKg yard.Num `json:"hard_feed_kg"`
	WorkMcal   yard.Num `json:"work_mcal"`
	NeedMcal   yard.Num `json:"need_mcal"`
	SupplyMcal yard.Num `json:"supply_mcal"`
	// Sessions is the day's work: [] for none, null where it is not known.
	Sessions *[]recordSession `json:"sessions"`
}

type recordSession struct {
	Name string `json:"name"`
	recordMinutes
	Led     bool `json:"led"`
	Hills   bool `json:"hills"`
	Efforts int  `json:"efforts"`
}

func sessions(h yard.Horse, d int) *[]recordSession {
	if !h.WorkGiven || h.Work[d].Unknown {
		return nil
	}
	out := []recordSession{}
	for _, s := range h.Work[d].Sessions {
		out = append(out, recordSession{s.Name, minutesOf(s.Minutes), s.Led, s.Hills, s.Efforts})
	}
	return &out
}

// recordWeekAhead is a week to come: see [yard.WeekAhead].
type recordWeekAhead struct {
	Week       string   `json:"week"`
	Planned    bool     `json:"planned"`
	AtLeast    bool     `json:"need_at_least"`
	NeedMcal   yard.Num `json:"need_mcal"`
	SupplyMcal yard.Num `json:"supply_mcal"`
	TargetKg   yard.Num `json:"target_kg"`
	CardKg     yard.Num `json:"card_kg"`
	ShortMcal  yard.Num `json:"short_mcal"`
	WeightKg   yard.Num `json:"weight_kg"`
}

type recordServing struct {
	Day      string   `json:"day"`
	Meal     string   `json:"meal"`
	Feed     string   `json:"feed"`
	Class    string   `json:"class"`
	AdLib    bool     `json:"ad_lib"` // kg is then an estimate of what is eaten
	Kg       yard.Num `json:"kg"`
	Ml       yard.Num `json:"ml"`
	Measures yard.Num `json:"measures"`
	Measure  string   `json:"measure"`
	Weigh    bool     `json:"weigh"`
	From     string   `json:"from"`
	Changed  bool     `json:"changed"`
	// Unweighed: dished out by a measure whose weight is a published density or
	// not known at all, so kg is no more than that.
	Unweighed bool `json:"unweighed"`
}

type recordNutrient struct {
	Nutrient string   `json:"nutrient"`
	Unit     string   `json:"unit"`
	Need     yard.Num `json:"need"`
	Supply   yard.Num `json:"supply"`
	AtLeast  yard.Num `json:"supply_at_least"`
	Low      yard.Num `json:"supply_low"`
	High     yard.Num `json:"supply_high"`
	Limit    yard.Num `json:"limit"`
	Source   string   `json:"source"`
	LimitSrc string   `json:"limit_source"`
}

type recordChange struct {
	Feed   string   `json:"feed"`
	FromKg yard.Num `json:"from_kg"`
	ToKg   yard.Num `json:"to_kg"`
	From   string   `json:"from"`
}

type recordFeed struct {
	Feed        string   `json:"feed"`
	KgWeek      yard.Num `json:"kg_week"`
	Estimated   bool     `json:"estimated"`
	UnitsWeek   yard.Num `json:"units_week"`
	Unit        string   `json:"unit"`
	Cost        yard.Num `json:"cost"`
	StockDays   yard.Num `json:"stock_days"`
	MeasureKg   yard.Num `json:"measure_kg"`
	Unweighed   bool     `json:"unweighed"`
	DensityFrom string   `json:"density_from"`
	CompFrom    string   `json:"composition_from"`
}

type recordFinding struct {
	Rule     string         `json:"rule"`
	Severity string         `json:"severity"`
	Horse    string         `json:"horse"`
	Message  string         `json:"message"`
	Args     map[string]any `json:"args"` // what fills the message's places: an amount is {value, unit}
	Sheet    string         `json:"sheet"`
	Cell     string         `json:"cell"`
	Text     string         `json:"text"`
	Why      string         `json:"why"`
	Next     string         `json:"next"`
	Source   string         `json:"source"`
	Weeks    int            `json:"weeks"` // running, this one with it; 0 of notes
}

func ends(r yard.Range) yard.Range {
	return yard.Range{Low: words.Clean(r.Low), High: words.Clean(r.High)}
}

func records(fs []yard.Finding) []recordFinding {
	out := make([]recordFinding, 0, len(fs))
	for _, f := range fs {
		out = append(out, recordOfFinding(f))
	}
	return out
}

func recordOfFinding(f yard.Finding) recordFinding {
	return recordFinding{string(f.Rule), f.Severity.String(), f.Horse, words.Message(f), argsOf(f.Saying),
		f.Cell.Sheet, f.Cell.Ref, f.Cell.Text, words.Said(f.Why), words.Said(f.Next), f.Source, f.Weeks}
}

// JSON is results.json: the plan for programs, and the record that next week's
// step check reads. A number not known is null, never 0.
func JSON(p yard.Plan, m words.Meta) ([]byte, error) {
	var b bytes.Buffer
	err := WriteJSON(&b, p, m)
	return b.Bytes(), err
}

// WriteJSON writes it horse by horse and finding by finding: of a large yard they are
// most of the memory.
func WriteJSON(w io.Writer, p yard.Plan, m words.Meta) error {
	p = words.Proof(p)
	s := &tables{words.New(p, m)}
	fault := func(err error) error { return fmt.Errorf("results.json could not be made: %w", err) }
	var b bytes.Buffer
	if err := indenting(&b, "").Encode(s.recordButLists()); err != nil {
		return fault(err)
	}
	before, rest, _ := strings.Cut(b.String(), "\n \"for_later_weeks\": [],\n \"horses\": []")
	between, after, _ := strings.Cut(rest, "\n \"findings\": []")
	sum := crc32.NewIEEE()
	out := bufio.NewWriter(io.MultiWriter(w, sum)) // which keeps the first error to its end
	indented, inLine := indenting(&b, "  "), json.NewEncoder(&b)
	inLine.SetEscapeHTML(false)
	list := func(name string, n int, e *json.Encoder, item func(i int) any) error {
		out.WriteString("\n \"" + name + "\": [")
		for i := range n {
			if i > 0 {
				out.WriteByte(',')
			}
			out.WriteString("\n  ")
			b.Reset()
			if err := e.Encode(item(i)); err != nil {
				return fault(err)
			}
			out.Write(bytes.TrimSuffix(b.Bytes(), []byte("\n")))
		}
		if n > 0 {
			out.WriteString("\n ")
		}
		out.WriteByte(']')
		return nil
	}
	out.WriteString(before)
	horse := 0
	at := func(i int) yard.HorsePlan { horse = i; return p.Horses[i] }
	err := list("for_later_weeks", len(p.Horses), inLine, func(i int) any { return laterRecord(at(i)) })
	out.WriteByte(',')
	if err == nil {
		err = list("horses", len(p.Horses), indented, func(i int) any { return s.horseRecord(at(i)) })
	}
	if err != nil {
		return fmt.Errorf("%w (at the horse %q)", err, p.Horses[horse].Horse.Name)
	}
	out.WriteString(between)
	if err := list("findings", len(p.Findings), indented, func(i int) any { return recordOfFinding(p.Findings[i]) }); err != nil {
		return err
	}
	out.WriteString(strings.TrimSuffix(after, "\n}\n"))
	if err := out.Flush(); err != nil {
		return err
	}
	_, err = fmt.Fprintf(w, ",\n \"crc32\": \"%08x\"\n}\n", sum.Sum32())
	return err
}

func indenting(b *bytes.Buffer, prefix string) *json.Encoder {
	e := json.NewEncoder(b)
	e.SetEscapeHTML(false)
	e.SetIndent(prefix, " ")
	return e
}

func recordOf(p yard.Plan, m words.Meta) Record {
	p = words.Proof(p)
	s := &tables{words.New(p, m)}
	r := s.recordButLists()
	r.Findings = records(p.Findings)
	for _, h := range p.Horses {
		r.Later, r.Horses = append(r.Later, laterRecord(h)), append(r.Horses, s.horseRecord(h))
	}
	return r
}

// tables are the numbers of a plan, as results.json and results.xlsx hold them.
type tables struct{ *words.Sheet }

// recordButLists is the record without its horses and findings.
func (s *tables) recordButLists() Record {
	p, m, w := s.Plan, s.Meta, s.Plan.Week
	r := Record{
		Schema: schema, Program: "hardfeed", Version: m.Version, Yard: w.Yard, Units: "metric",
		Edition: m.Edition, Changes: m.Changes, Standard: p.Standard, WorkModel: p.WorkModel,
		Read:  recordRead{w.Read.Sheets, w.Read.Rows, w.Read.Horses},
		Later: []laterHorse{}, Horses: []recordHorse{}, Feeds: []recordFeed{}, Findings: []recordFinding{},
	}
	if w.Imperial {
		r.Units = "imperial"
	}
	if !w.Beginning.IsZero() {
		s := w.Beginning.Format("2006-01-02")
		r.Week = &s
	}
	r.Contacts = []recordContact{}
	r.Forage = forageOf(p.Forage)
	for _, c := range w.Contacts {
		r.Contacts = append(r.Contacts, recordContact(c))
	}
	for _, f := range p.Feeds {
		r.Feeds = append(r.Feeds, recordFeed{
			Feed: f.Feed.Name, KgWeek: words.Num(f.KgWeek), Estimated: f.Estimated, UnitsWeek: words.Clean(f.Packs),
			Unit: f.Feed.PackName, Cost: words.Clean(f.Cost), StockDays: words.Clean(f.StockDays),
			MeasureKg: words.Clean(f.MeasureKg), Unweighed: f.Unweighed, DensityFrom: f.DensityFrom, CompFrom: f.CompFrom,
		})
	}
	return r
}

func (s *tables) horseRecord(h yard.HorsePlan) recordHorse {
	w := s.Plan.Week
	r := recordHorse{
		Name: h.Horse.Name, Status: string(h.Status),
		NoCardWhy: ValidTexts(words.NoCardWhy(h)), HeldWhy: ValidTexts(words.HeldWhy(h)), Cautions: ValidTexts(words.Cautions(h)),
		Diagnoses: []string{}, Notes: strings.ToValidUTF8(h.Horse.Notes, "\uFFFD"),
		BodyWeightKg: words.Clean(h.WeightKg), BodyWeightBasis: string(h.WeightBasis),
		ConditionScore: words.Clean(h.Horse.Score), Fitness: string(h.Horse.Fitness),
		WorkMinutes: h.WorkMinutes, WorkAtLeast: h.WorkAtLeast,
		SweatKg: words.Clean(h.SweatKg), SweatFrom: string(h.SweatFrom), WaterLitres: ends(h.WaterLitres), OtherStandards: []recordStandard{},
		DMPctBW: words.Clean(h.DMPct), ForageDMPctBW: words.Clean(h.ForageDMPct), StarchPerMeal: words.Clean(h.StarchMax),
		Ration: []recordServing{}, Nutrients: []recordNutrient{}, Changes: []recordChange{},
		Findings: records(h.Findings),
	}
	for _, n := range h.Horse.Diagnoses {
		r.Diagnoses = append(r.Diagnoses, strings.ToValidUTF8(cmp.Or(n.Text, string(n.Kind)), "\uFFFD"))
	}
	if h.WorkClass != "" {
		c := string(h.WorkClass)
		r.WorkClass = &c
	}
	e := h.Energy
	r.DEMcal.Maintenance, r.DEMcal.Work, r.DEMcal.Change, r.DEMcal.Cold = words.Clean(e.Maintenance), words.Clean(e.Work), words.Clean(e.Change), words.Clean(e.Cold)
	r.DEMcal.Own = words.Clean(e.Own)
	r.DEMcal.NeedLow, r.DEMcal.NeedHigh = words.Clean(e.NeedRange.Low), words.Clean(e.NeedRange.High)
	r.DEMcal.Need, r.DEMcal.Supply, r.DEMcal.ClassNeed = words.Clean(e.Need), words.Clean(e.Supply), words.Clean(e.ClassNeed)
	r.DEMcal.SupplyAtLeast = words.Num(e.SupplyAtLeast)
	r.DEMcal.SupplyRange = ends(e.SupplyRange)
	r.DEMcal.SupplyForage, r.DEMcal.SupplyDoubt = words.Clean(e.SupplyForage), words.Clean(e.SupplyDoubt)
	for _, o := range h.Beside {
		r.OtherStandards = append(r.OtherStandards, recordStandard{o.Standard, o.Unit, ends(o.Maintenance), ends(o.Work), ends(o.Total), words.English().SaidAll(o.Assumed), o.Source})
	}
	r.FedMcal, r.LastWeighing, r.Evidence = learnOf(h.ToLearnFrom), lastWeighing(h.Horse), evidenceOf(h.Evidence)
	f := h.HardFeed
	r.HardFeedKg.Now, r.HardFeedKg.Planned, r.HardFeedKg.Target, r.HardFeedKg.Card = words.Clean(f.Now), words.Clean(f.Planned), words.Clean(f.Target), words.Clean(f.Card)
	r.PastHardFeed = []recordPast{}
	for _, p := range h.Horse.Past {
		if p.HardKg.IsKnown() {
			r.PastHardFeed = append(r.PastHardFeed, recordPast{p.Beginning.Format("2006-01-02"), words.Clean(p.HardKg)})
		}
	}
	st := h.Step
	r.Step.RiseKg, r.Step.WarnKg, r.Step.StopKg = words.Clean(st.RiseKg), words.Clean(st.WarnKg), words.Clean(st.StopKg)
	r.Step.DayWarnKg, r.Step.DayStopKg = words.Clean(st.DayWarnKg), words.Clean(st.DayStopKg)
	r.Step.Verdict, r.Step.WeeksToTarget = string(st.Verdict), words.Clean(st.WeeksToTarget)
	r.Step.PathKg = []yard.Num{}
	for _, v := range st.PathKg {
		r.Step.PathKg = append(r.Step.PathKg, words.Num(v))
	}
	r.Step.Ahead = []recordWeekAhead{}
	for _, a := range st.Ahead {
		r.Step.Ahead = append(r.Step.Ahead, recordWeekAhead{a.Beginning.Format(time.DateOnly), a.Planned, a.AtLeast, words.Num(a.NeedMcal), words.Clean(a.SupplyMcal), words.Num(a.TargetKg), words.Num(a.CardKg), words.Num(a.ShortMcal), words.Num(a.WeightKg)})
	}
	for i, d := range h.Days {
		r.Step.DayKg[i] = words.Clean(st.DayKg[i])
		r.Days[i] = recordDay{words.Weekday(w, i), string(d.Kind), d.Work, words.Clean(d.HardFeedKg), words.Clean(d.EnergyWork), words.Clean(d.EnergyNeed), words.Clean(d.Supply), sessions(h.Horse, i)}
	}
	for _, v := range h.Servings {
		r.Ration = append(r.Ration, recordServing{
			string(v.Day), v.Meal, v.Feed, string(v.Class), v.AdLib, words.Num(float64(v.Kg)), words.Clean(v.Ml),
			words.Clean(v.Measures), v.Measure, v.Weigh, words.Weekday(w, int(v.From)), v.Changed, s.Unweighed(v),
		})
	}
	for _, n := range h.Nutrients {
		r.Nutrients = append(r.Nutrients, recordNutrient{n.Name, n.Unit, words.Clean(n.Need), words.Clean(n.Supply), words.Num(n.AtLeast), words.Clean(n.Between.Low), words.Clean(n.Between.High), words.Clean(n.Limit), n.Source, n.LimitSource})
	}
	for _, c := range h.Changes {
		r.Changes = append(r.Changes, recordChange{c.Feed, words.Clean(c.FromKg), words.Clean(c.ToKg), words.Weekday(w, int(c.From))})
	}
	return r
}

// ValidTexts keeps an empty list [] in the record, not null: null means unknown.
func ValidTexts(s []string) []string {
	out := make([]string, 0, len(s))
	for _, t := range s {
		out = append(out, strings.ToValidUTF8(t, "\uFFFD"))
	}
	return out
}

// argsOf are a saying's arguments for programs: an amount with its unit, a list as
// one, all else as text.
func argsOf(s yard.Saying) map[string]any {
	out := make(map[string]any, len(s.Args))
	for _, a := range s.Args {
		out[a.Name] = argOf(a.Value)
	}
	return out
}

type recordQuantity struct {
	Value yard.Num `json:"value"`
	Unit  string   `json:"unit"`
	Least bool     `json:"at_least,omitempty"`
}

func argOf(v yard.Value) any {
	switch v := v.(type) {
	case yard.Quantity:
		return recordQuantity{words.Num(v.Value), string(v.Unit), v.Least}
	case yard.Date:
		return v.Date.Format("2006-01-02")
	case yard.List:
		out := make([]any, 0, len(v.Items))
		for _, i := range v.Items {
			out = append(out, argOf(i))
		}
		return out
	case yard.Saying:
		if v.Empty() {
			return ""
		}
	}
	return strings.ToValidUTF8(words.English().Value(v), "\uFFFD")
}
