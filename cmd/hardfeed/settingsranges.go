package main

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"

	"hardfeed/ingest"
	"hardfeed/ration/yard"
	"hardfeed/report/words"
	"hardfeed/templates"
)

// span is the range a number may be set to, in the key's own unit.
type span struct{ low, high float64 }

// spans are the ranges of the numbers outside the group limits: wide enough for
// any yard, narrow enough to catch a wrong unit or a slipped point. They are
// ours; no source. The rest-day factor may only be made stricter than the half
// of row D-20.
func spans() map[string]span {
	return map[string]span{
		"pace_m_per_min.walk":   {50, 150},
		"pace_m_per_min.trot":   {130, 350},
		"pace_m_per_min.canter": {220, 550},
		"pace_m_per_min.gallop": {350, 1100},
		"pace_m_per_min.jump":   {220, 700},
		"hill_gradient_pct":     {0, 25},
		"going":                 {0.8, 2.5},
		"forage_intake_pct":     {1.25, 3.5},
		"grazing_pct":           {0.02, 0.3},
		"lower_critical_c":      {-40, 20},
		"condition_days":        {28, 365},
		"rest_day_factor":       {0, defaultSettings().RestDayFactor},
		"energy_band_pct":       {0.5, 15},
		"weight_stale_days":     {1, 120},
		"cards_per_page":        {1, 4},

		"watch.look_every_seconds": {0.1, 3600},
		"watch.settle_seconds":     {0.05, 600},
		"watch.patience_minutes":   {0.1, 1440},
		"watch.at_once":            {1, 32},
		"mail.port":                {0, 65535},
		"mail.most_mb":             {0.1, 150},
	}
}

// floors are the limits where more is stricter, each with how far it may be
// raised; all others are ceilings. Forage past 2.5 % of body weight is more than
// a horse can eat (common practice, no source); calcium to phosphorus past 2 to 1
// would flag sound rations; the days of a change end somewhere.
func floors() map[string]float64 {
	return map[string]float64{
		"limits.forage_warn_pct": 2.5, "limits.forage_stop_pct": 2.5, "limits.slim_forage_warn_pct": 2.5, "limits.slim_forage_stop_pct": 2.5,
		"limits.ca_p_stop_low": 2, "limits.ca_p_warn_low": 2,
		"limits.new_feed_days_warn": 28, "limits.new_feed_days_stop": 28, "limits.new_hay_days_warn": 42, "limits.new_hay_days_stop": 42,
		"limits.oil_rise_days_warn": 42, "limits.stack_days": 42, "limits.vit_e_per_ml_oil": 3,
	}
}

// check refuses what cannot be meant. It says the first fault found, in the
// order of the settings file.
func (s *Settings) check() error {
	if !slices.Contains(yard.WorkModels(), yard.WorkModel(s.WorkModel)) {
		return refuse("work_model is %q. It can be pace (by speed and minutes), hourly (by kind of work and minutes) or class (by the week's class).", s.WorkModel)
	}
	if h := yard.Hemisphere(s.Hemisphere); h != yard.North && h != yard.South {
		return refuse("hemisphere is %q. It can be north (winter is December to February) or south (winter is June to August).", s.Hemisphere)
	}
	if f := yard.ForageSelenium(s.ForageSelenium); f != yard.SeleniumByTable && f != yard.SeleniumLow {
		return refuse("forage_selenium is %q. It can be table (the figures of the feed table) or low (the soil here is poor in selenium).", s.ForageSelenium)
	}
	for _, k := range settingKeys() {
		got := valueOf(reflect.ValueOf(*s), k.name)
		var n float64
		switch got.Kind() {
		case reflect.Float64:
			n = got.Float()
		case reflect.Int:
			n = float64(got.Int())
		default:
			continue
		}
		if math.IsNaN(n) || math.IsInf(n, 0) {
			return refuse("%s is not a number one can work with.", k.name)
		}
		if strings.HasPrefix(k.name, "limits.") {
			if err := s.checkLimit(k.name, n, k.byValue.Float()); err != nil {
				return err
			}
			continue
		}
		r, ok := spans()[k.name]
		if !ok {
			panic("settings: no range for " + k.name)
		}
		if n < r.low || n > r.high {
			return refuse("%s is %v. It should be from %v to %v.", k.name, n, r.low, r.high)
		}
	}
	if err := s.checkLanguage(); err != nil {
		return err
	}
	for _, code := range languages(s.Headings) {
		if known := templates.HeadingLanguages(); !slices.Contains(known, code) {
			return refuse("headings is %q. It can name %s (more than one with a comma between them), or be empty for English alone.", s.Headings, strings.Join(known, ", "))
		}
	}
	for _, y := range s.Synonyms {
		if columns := ingest.ColumnKeys(); !slices.Contains(columns, strings.ToLower(y.Column)) {
			hint := " The columns are: " + strings.Join(columns, ", ") + "."
			if near := yard.Nearest(y.Column, columns); near != "" {
				hint = fmt.Sprintf(" Did you mean %s?", near)
			}
			return refuse("synonyms names a column %q, and there is none.%s", y.Column, hint)
		}
	}
	if doubt := ingest.Ambiguous(s.options()); !doubt.Empty() {
		return refuse("Of the synonyms, %s: take it out of one of them.", words.AsWritten(doubt))
	}
	if s.CardsPerPage == 3 {
		return refuse("cards_per_page is 3. It should be 1, 2 or 4.")
	}
	switch {
	case s.Paper == "":
	case strings.EqualFold(s.Paper, "A4"):
		s.Paper = "A4"
	case strings.EqualFold(s.Paper, "Letter"):
		s.Paper = "Letter"
	default:
		return refuse("paper is %q. It should be A4 or Letter.", s.Paper)
	}
	if err := s.Mail.check(); err != nil {
		return err
	}
	return s.checkWarnBeforeStop()
}

// checkLanguage takes one language, or two that differ.
func (s *Settings) checkLanguage() error {
	codes, known := languages(s.Language), words.Languages()
	for _, code := range codes {
		if !slices.Contains(known, code) {
			return refuse("language is %q. It can name %s, or two of them with a comma between. The first is printed large, the second beside it.", s.Language, strings.Join(known, ", "))
		}
	}
	if len(codes) == 0 || len(codes) > 2 || len(codes) == 2 && codes[0] == codes[1] {
		return refuse("language is %q. It should name one language, or two that differ. A card has no room for more.", s.Language)
	}
	return nil
}

// lessStrict says whether a mark lets more pass than the reference table's.
func lessStrict(name string, got, standard float64) bool {
	if _, ok := floors()[name]; ok {
		return got < standard
	}
	return got > standard
}

// mostLaxer is how far a mark may be made less strict, by name and with a reason: any
// further is a slip of the pen (ours).
const mostLaxer = 2

// checkLimit takes a stricter mark as it comes, and a less strict one only with a name
// and a reason, which are printed.
func (s *Settings) checkLimit(name string, got, standard float64) error {
	top, floor := floors()[name]
	switch {
	case lessStrict(name, got, standard) && (strings.TrimSpace(s.LoosenedBy) == "" || strings.TrimSpace(s.LoosenedReason) == ""):
		return refuse("%s is %v. You can make this limit stricter than %v. To loosen it, write your name and your reason in loosened_by and loosened_reason.", name, got, standard)
	case !floor && got > standard*mostLaxer, floor && got < standard/mostLaxer:
		return refuse("%s is %v. Even with a name and a reason a limit can be at most %d times as loose as %v.", name, got, mostLaxer, standard)
	case floor && got > top:
		return refuse("%s is %v. It should be at most %v.", name, got, top)
	case got <= 0:
		return refuse("%s is %v. It should be above 0 and at most %v.", name, got, standard)
	}
	return nil
}

// checkWarnBeforeStop refuses a stop limit that would be passed before its
// warning mark: the warning would never be seen.
func (s *Settings) checkWarnBeforeStop() error {
	v := reflect.ValueOf(*s)
	for _, k := range settingKeys() {
		warn := strings.Replace(k.name+"_", "_stop_", "_warn_", 1)
		warn = strings.TrimSuffix(warn, "_")
		if warn == k.name {
			continue
		}
		mark := valueOf(v, warn)
		if !mark.IsValid() { // hard_feed_share_stop_pct has no warning mark
			continue
		}
		w, stop := mark.Float(), valueOf(v, k.name).Float()
		if _, ok := floors()[k.name]; ok {
			w, stop = stop, w
		}
		if w > stop {
			return refuse("%s (%v) is stricter than %s (%v), which would then never be reached. Make that one stricter too.",
				k.name, valueOf(v, k.name), warn, mark)
		}
	}
	return nil
}

// valueOf finds the field behind a key; the zero Value if there is none.
func valueOf(v reflect.Value, dotted string) reflect.Value {
	for _, k := range settingKeys() {
		if k.name == dotted {
			return v.FieldByIndex(k.at)
		}
	}
	return reflect.Value{}
}
