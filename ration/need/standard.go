package need

import (
	"math"
	"strings"

	"hardfeed/ration/yard"
)

// Standard is a published system of requirements. The cards rest on one; others
// are shown beside it, never mixed with it.
type Standard interface {
	// Name is what the sheets call it: "NRC 2007".
	Name() string
	// Energy is the need of maintenance and work a day, the mean of the week,
	// in the standard's own unit. What the standard does not give is unknown.
	Energy(Animal) Energy
}

// Animal is one adult horse and its week, as a standard looks at it.
type Animal struct {
	BodyKg, RiderTackKg float64
	Keeper              yard.Keeper
	Type                yard.HorseType
	Breed               string // as written, "" not said
	Days                [7]yard.Day
	WorkMcalDE          float64 // a day, by the yard's model of work
	WorkAtLeast         bool    // some of the week's work is unknown
}

// Energy is a standard's energy a day.
type Energy struct {
	Unit              string // "Mcal DE", "MJ ME", "UFC"
	Maintenance, Work yard.Range
	Total             yard.Range
	Formula           string        // its name among the words of workings: "gfe"
	Assumed           []yard.Saying // what had to be assumed or is missing, clauses
	Source            string
}

// sum adds maintenance and work; an unknown end stays unknown.
func (e Energy) sum() Energy {
	add := func(a, b yard.Num) yard.Num {
		x, ok1 := a.Get()
		y, ok2 := b.Get()
		if !ok1 || !ok2 {
			return yard.Num{}
		}
		return yard.Known(x + y)
	}
	e.Total = yard.Range{Low: add(e.Maintenance.Low, e.Work.Low), High: add(e.Maintenance.High, e.Work.High)}
	return e
}

// assumed is one clause of what a standard assumes.
func assumed(what string) []yard.Saying { return []yard.Saying{yard.Say("part.assumed." + what)} }

func exactly(v float64) yard.Range { return yard.Range{Low: yard.Known(v), High: yard.Known(v)} }

// NRC is the standard of the cards: NRC 2007. Its energy of work is the yard's
// model's, since NRC 2007 gives classes only.
type NRC struct{}

func (NRC) Name() string { return "NRC 2007" }

func (NRC) Energy(a Animal) Energy {
	e := Energy{Unit: "Mcal DE", Maintenance: exactly(MaintenancePerKg(a.Keeper) * a.BodyKg), Work: exactly(a.WorkMcalDE),
		Formula: "nrc", Source: "NRC 2007 (requirements §1)"}
	if a.WorkAtLeast {
		e.Work.High = yard.Num{}
		e.Assumed = assumed("work")
	}
	return e.sum()
}

// GfE is the German standard of 2014: metabolisable energy, MJ a day.
// Maintenance by type × body weight^0.75; work by pace × kilograms moved
// (requirements §13: warmblood 0.52, easy-keeping pony 0.40 seen, thoroughbred
// 0.64, Quarter Horse 0.50, Icelandic 0.44 derived; walk 0.01, trot 0.025, canter
// 0.1 MJ ME per kg of horse and rider and hour, seen). It gives nothing here for
// galloping, jumping, draught horses or donkeys: those are unknown.
type GfE struct{}

func (GfE) Name() string { return "GfE 2014" }

// gfeTypes are the words of a breed that name one of the printed types.
var gfeTypes = []struct {
	words   []string
	as      string  // what it is said to be taken as
	mjPerKg float64 // MJ ME per kg of body weight^0.75
}{
	{[]string{"thoroughbred", "tb", "xx"}, "thoroughbred", 0.64},
	{[]string{"warmblood", "wb"}, "warmblood", 0.52},
	{[]string{"quarter"}, "quarter horse", 0.50},
	{[]string{"icelandic"}, "icelandic", 0.44},
}

func gfeMaintenance(a Animal) (mjPerKg float64, as string, known bool) {
	words := strings.FieldsFunc(strings.ToLower(a.Breed), func(r rune) bool { return !('a' <= r && r <= 'z') })
	for _, t := range gfeTypes {
		for _, w := range t.words {
			for _, said := range words {
				if said == w {
					return t.mjPerKg, t.as, true
				}
			}
		}
	}
	switch a.Type {
	case yard.TypePony:
		return 0.40, "pony", true
	case yard.TypeHorse:
		return 0.52, "no type", true
	}
	return 0, "no figure", false
}

// gfePace is MJ ME per kg of horse and rider and hour.
var gfePace = map[yard.Gait]float64{yard.Walk: 0.01, yard.Trot: 0.025, yard.Canter: 0.1}

func (GfE) Energy(a Animal) Energy {
	e := Energy{Unit: "MJ ME", Formula: "gfe",
		Source: "GfE 2014 as quoted (requirements §13)"}
	per, as, known := gfeMaintenance(a)
	if known {
		e.Maintenance = exactly(per * math.Pow(a.BodyKg, 0.75))
	}
	e.Assumed = assumed(as)
	sum, whole := 0.0, true
	for _, d := range a.Days {
		for _, s := range d.Sessions {
			kg := a.BodyKg
			if !s.Led {
				kg += a.RiderTackKg
			}
			for g, minutes := range s.Minutes {
				per, given := gfePace[yard.Gait(g)]
				sum += minutes / 60 * per * kg
				whole = whole && (given || minutes == 0)
			}
			whole = whole && s.Efforts == 0
		}
	}
	e.Work = exactly(sum / 7)
	if !whole {
		e.Assumed = append(e.Assumed, assumed("gaits")...)
	}
	if a.WorkAtLeast {
		e.Assumed = append(e.Assumed, assumed("work")...)
	}
	if !whole || a.WorkAtLeast {
		e.Work.High = yard.Num{}
	}
	return e.sum()
}

// INRA is the French net energy, UFC a day: maintenance of a saddle horse by the
// equation of 1990, 1.2 + 0.006 × body weight (seen), or, Since2012, 0.0373 × body
// weight^0.75 (memory; a page's 4.1, 4.8 and 6.4 UFC at 500, 600 and 900 kg are
// 1.05 times it), to which 5 to 15 % for type and work are to be added: the high
// end has 15 %. An hour's work by kind (requirements §13, seen): lungeing or at
// liberty 0.2-0.5, in the school 1-1.5 with a novice rider and 1.5-2 with an able
// one, hacking on varied ground 2-2.5. Who rides is not on the sheet, so the
// school reaches from 1 to 2. What no row fits is unknown.
type INRA struct{ Since2012 bool }

func (i INRA) Name() string {
	if i.Since2012 {
		return "INRA 2012"
	}
	return "INRA 1990"
}

func (i INRA) maintenance(a Animal) (r yard.Range, formula, note string) {
	switch {
	case i.Since2012 && a.Type != yard.TypeDonkey:
		ufc := 0.0373 * math.Pow(a.BodyKg, 0.75)
		return yard.Range{Low: yard.Known(ufc), High: yard.Known(ufc * 1.15)}, "inra.2012", "memory"
	case !i.Since2012 && a.Type == yard.TypeHorse:
		return exactly(1.2 + 0.006*a.BodyKg), "inra.1990", ""
	}
	return yard.Range{}, "inra.1990", "saddle horses"
}

var inraHour = map[string]yard.Range{
	"lunge":  {Low: yard.Known(0.2), High: yard.Known(0.5)},
	"school": {Low: yard.Known(1), High: yard.Known(2)},
	"hack":   {Low: yard.Known(2), High: yard.Known(2.5)},
}

// inraKind is which printed row a session falls in, "" none.
func inraKind(s yard.Session) string {
	name := strings.ToLower(s.Name)
	has := func(words ...string) bool {
		for _, w := range words {
			if strings.Contains(name, w) {
				return true
			}
		}
		return false
	}
	switch {
	case s.Led && has("lung", "longe", "loose"):
		return "lunge"
	case s.Led || s.Minutes[yard.Gallop]+s.Minutes[yard.Jump] > 0 || s.Efforts > 0:
		return ""
	case has("school", "flat", "lesson", "dressage", "pole"):
		return "school"
	case has("hack", "ride", "trail"):
		return "hack"
	}
	return ""
}

func (i INRA) Energy(a Animal) Energy {
	m, formula, note := i.maintenance(a)
	e := Energy{Unit: "UFC", Maintenance: m, Formula: formula, Source: i.Name() + " as quoted (requirements §13)"}
	low, high, whole := 0.0, 0.0, true
	for _, d := range a.Days {
		for _, s := range d.Sessions {
			per, ok := inraHour[inraKind(s)]
			if !ok {
				whole = whole && s.Total() == 0 && s.Efforts == 0
				continue
			}
			low += s.Total() / 60 * per.Low.Or(0)
			high += s.Total() / 60 * per.High.Or(0)
		}
	}
	e.Work = yard.Range{Low: yard.Known(low / 7), High: yard.Known(high / 7)}
	if note != "" {
		e.Assumed = assumed(note)
	}
	if !whole {
		e.Assumed = append(e.Assumed, assumed("no row")...)
	}
	if a.WorkAtLeast {
		e.Assumed = append(e.Assumed, assumed("work")...)
	}
	if !whole || a.WorkAtLeast {
		e.Work.High = yard.Num{}
	}
	return e.sum()
}

// Beside are the standards shown beside that of the cards.
func Beside() []Standard { return []Standard{GfE{}, INRA{}, INRA{Since2012: true}} }
