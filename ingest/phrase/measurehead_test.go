package phrase

import "testing"

func TestMeasureHeading(t *testing.T) {
	for text, want := range map[string][2]string{
		"1 scoop (kg)": {"scoop", "kg"}, "One scoop": {"scoop", ""}, "Scoop weight (lb)": {"scoop", "lb"}, "kg per scoop": {"scoop", "kg"}, "lb per scoop": {"scoop", "lb"}, "1 Schaufel (kg)": {"Schaufel", "kg"}, "Gewicht je Schaufel (g)": {"Schaufel", "g"}, "1 mesure (kg)": {"mesure", "kg"}, "Poids d'une mesure en g": {"mesure", "g"}, "Peso de la medida (kg)": {"medida", "kg"}, "1 medida, en g": {"medida", "g"},
		"1 scoop nuts (kg)": {}, "Scoops": {}, "Weight (kg)": {}, "Amount (1 scoop)": {}, "kg": {}, "": {},
	} {
		m, u, ok := every.MeasureHeading(text)
		if got := [2]string{m, u}; got != want || ok != (want[0] != "") {
			t.Errorf("%q is the weight of %q in %q (%v), want %q", text, m, u, ok, want)
		}
	}
}
