package wall

import (
	"hardfeed/ration/yard"
	"hardfeed/report/draw"
	"hardfeed/report/words"
)

// changeText says what changed since last week, of a change whose earlier
// amount is known; the day it is reached stands out.
func (s *paper) changeText(t words.Language, c yard.Change) []draw.Run {
	was := c.FromKg.Or(0)
	is, isKnown := c.ToKg.Get()
	when := since(t, s.Plan.Week, c)
	plain := func(key string, args ...string) draw.Run {
		return draw.Run{Text: t.Say(key, append(args, "feed", c.Feed)...)}
	}
	switch {
	case !isKnown:
		return []draw.Run{plain("change.unknown"), when, plain("change.unknown.ask")}
	case is == 0:
		return []draw.Run{plain("change.out"), when, plain("change.out.was", "was", s.Daily(t, c.Feed, was))}
	case was == 0:
		return []draw.Run{plain("change.new", "now", s.Daily(t, c.Feed, is)), when}
	}
	return []draw.Run{plain("change.is", "was", s.Daily(t, c.Feed, was), "now", s.Daily(t, c.Feed, is)), when}
}

// notKnownBefore says once, for all feeds of a horse of which nobody knows what
// was fed last week, what they are now; nil where there is none. Those of one
// day stand together. Where it is said already that nobody knows, it is not said again.
func (s *paper) notKnownBefore(t words.Language, changes []yard.Change, said bool) []draw.Run {
	var out []draw.Run
	some := false // is known of others
	last := yard.Weekday(-1)
	for _, c := range changes {
		if c.FromKg.IsKnown() {
			some = true
			continue
		}
		is := t.Say("before.ask")
		if kg, ok := c.ToKg.Get(); ok {
			is = t.Say("before.day", "amount", s.Daily(t, c.Feed, kg))
		}
		text := c.Feed + " " + is
		if n := len(out) - 1; n >= 0 && c.From == last {
			out[n].Text += "; " + text
		} else {
			if n >= 0 {
				out[n].Text += "."
			}
			when := since(t, s.Plan.Week, c)
			out = append(out, draw.Run{Face: when.Face, Text: words.Capital(when.Text) + ":"}, draw.Run{Text: text})
		}
		last = c.From
	}
	if len(out) == 0 {
		return nil
	}
	out[len(out)-1].Text += "."
	switch {
	case some:
		out = append([]draw.Run{{Text: t.Say("before.unknown.some")}}, out...)
	case !said:
		out = append([]draw.Run{{Text: t.Say("before.unknown")}}, out...)
	}
	return out
}

// since is the day a change is reached, in bold.
func since(t words.Language, w yard.Week, c yard.Change) draw.Run {
	date := t.Date(w, int(c.From))
	if c.InSteps {
		return draw.Run{Face: draw.Bold, Text: t.Say("change.steps", "date", words.Unbroken(date))}
	}
	return draw.Run{Face: draw.Bold, Text: words.Unbroken(t.Say("change.from", "date", date))}
}
