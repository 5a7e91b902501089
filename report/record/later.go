package record

import (
	"time"

	"hardfeed/ration/yard"
	"hardfeed/report/words"
)

// laterHorse is what later weeks read of a horse, under the names it has in [recordHorse]:
// they need not take half a year of whole records apart.
type laterHorse struct {
	Name            string   `json:"name"`
	Status          string   `json:"status"`
	BodyWeightKg    yard.Num `json:"body_weight_kg"`
	BodyWeightBasis string   `json:"body_weight_basis"`
	WorkAtLeast     bool     `json:"work_at_least"`
	DEMcal          struct {
		Work         yard.Num `json:"work"`
		Cold         yard.Num `json:"cold"`
		Supply       yard.Num `json:"supply"`
		SupplyForage yard.Num `json:"supply_forage"`
		SupplyDoubt  yard.Num `json:"supply_estimated_sd"`
	} `json:"de_mcal"`
	FedMcal      recordLearn     `json:"fed_mcal"`
	LastWeighing *recordWeighing `json:"last_weighing"`
	HardFeedKg   struct {
		Now  yard.Num `json:"now"`
		Card yard.Num `json:"card"`
	} `json:"hard_feed_kg"`
	Step struct {
		WarnKg yard.Num `json:"warn_kg"`
		StopKg yard.Num `json:"stop_kg"`
	} `json:"step"`
	Minutes *recordMinutes `json:"week_minutes"` // null: some of the week's work is not known
	Events  []laterEvent   `json:"events"`
}

type recordMinutes struct {
	Walk   float64 `json:"walk"`
	Trot   float64 `json:"trot"`
	Canter float64 `json:"canter"`
	Gallop float64 `json:"gallop"`
	Jump   float64 `json:"jump"`
}

func minutesOf(m [yard.Gaits]float64) recordMinutes {
	return recordMinutes{m[yard.Walk], m[yard.Trot], m[yard.Canter], m[yard.Gallop], m[yard.Jump]}
}

type laterEvent struct {
	Day  int    `json:"day"` // 0 is the week's first
	Work string `json:"work"`
}

// laterRecord is a horse in for_later_weeks. Where its record tells of work that cannot be,
// the week's is not known: a reader of the record says the same.
func laterRecord(h yard.HorsePlan) laterHorse {
	r := laterHorse{Name: h.Horse.Name, Status: string(h.Status), BodyWeightKg: words.Clean(h.WeightKg), BodyWeightBasis: string(h.WeightBasis),
		WorkAtLeast: h.WorkAtLeast, FedMcal: learnOf(h.ToLearnFrom), LastWeighing: lastWeighing(h.Horse), Events: []laterEvent{}}
	e, f, st := h.Energy, h.HardFeed, h.Step
	r.DEMcal.Work, r.DEMcal.Cold, r.DEMcal.Supply = words.Clean(e.Work), words.Clean(e.Cold), words.Clean(e.Supply)
	r.DEMcal.SupplyForage, r.DEMcal.SupplyDoubt = words.Clean(e.SupplyForage), words.Clean(e.SupplyDoubt)
	r.HardFeedKg.Now, r.HardFeedKg.Card = words.Clean(f.Now), words.Clean(f.Card)
	r.Step.WarnKg, r.Step.StopKg = words.Clean(st.WarnKg), words.Clean(st.StopKg)
	var total [yard.Gaits]float64
	known := h.Horse.WorkGiven
	for i, d := range h.Days {
		work := h.Horse.Work[i]
		known = known && !work.Unknown
		for _, s := range work.Sessions {
			for g, m := range s.Minutes {
				known = known && m >= 0 && m <= (24*time.Hour).Minutes()
				total[g] += m
			}
		}
		if d.Kind == yard.EventDay {
			r.Events = append(r.Events, laterEvent{i, d.Work})
		}
	}
	if known {
		m := minutesOf(total)
		r.Minutes = &m
	}
	return r
}
