package ingest

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestParseNumber(t *testing.T) {
	for text, want := range map[string]float64{
		"520": 520, " 520 ": 520, "520\u00a0": 520, "1.5": 1.5, "1,5": 1.5, "1,25": 1.25, "0,250": 0.25, "½": 0.5, "¼": 0.25, "¾": 0.75,
		"2½": 2.5, "2 ½": 2.5, "1 1/2": 1.5, "1-1/2": 1.5, "1/2": 0.5, "3/4": 0.75, "1⁄4": 0.25, "-3": -3, "−3": -3, "+4": 4,
		"1,250.5": 1250.5, "1.250,5": 1250.5, "1,250,000": 1250000, "007": 7, ".5": 0.5, "-½": -0.5, "1\u202f1/2": 1.5,
	} {
		if got, err := ParseNumber(text); err != nil || math.Abs(got-want) > 1e-12 {
			t.Errorf("%q reads as %v (%v), want %v", text, got, err, want)
		}
	}
	for _, text := range []string{
		"", "abc", "1,250", "12,345", "1 250", "500-520", "~520", "520?", "1e3", "0x10", "NaN", "Inf", "1/0", "6/7", "30/11", "1/2/3",
		"1.5.2", "1,2345", "--3", "1½½", "½2", "12345678901234567890", "1 1/2 1/2", "5/4", "1_000",
	} {
		if got, err := ParseNumber(text); err == nil {
			t.Errorf("%q reads as %v, want it refused", text, got)
		}
	}
}

func TestParseQuantity(t *testing.T) {
	for text, want := range map[string]Quantity{
		"1.5kg": {1.5, "kg"}, "3 lb": {3, "lb"}, "2½ scoops": {2.5, "scoop"}, "1½ sc": {1.5, "scoop"}, "50 g": {50, "g"}, "100 ml": {100, "ml"},
		"16.1hh": {16.1, "hh"}, "16 hh": {16, "hh"}, "1h15": {1.25, "h"}, "1 h 15 min": {1.25, "h"}, "90 min": {90, "min"}, "3 lb 8 oz": {3.5, "lb"},
		"8 st 7": {8.5, "st"}, "8 st 7 lb": {8.5, "st"}, "5 ft 6 in": {5.5, "ft"}, "12%": {12, "%"}, "-3 °C": {-3, "°C"}, "25F": {25, "°F"},
		"2 scoops a day": {2, "scoop"}, "1 kg 500 g": {1.5, "kg"}, "2 haynets": {2, "haynets"}, "520": {520, ""}, "60\"": {60, "in"}, "1,5 kg": {1.5, "kg"},
		"1 1/2 scoops": {1.5, "scoop"}, "2 level scoops": {2, "scoop"}, "10.5 MJ/kg": {10.5, "MJ"}, "8 yrs": {8, "year"},
	} {
		if got, err := ParseQuantity(text); err != nil || math.Abs(got.Value-want.Value) > 1e-12 || got.Unit != want.Unit {
			t.Errorf("%q reads as %v (%v), want %v", text, got, err, want)
		}
	}
	for _, text := range []string{"2 scoops twice a day", "kg", "1 kg 2 scoops", "2 kg a week", "3 lb 20 oz", "1,250 g", "2 x 3 kg", "1 kg 5"} {
		if got, err := ParseQuantity(text); err == nil {
			t.Errorf("%q reads as %v, want it refused", text, got)
		}
	}
}

// A hand is four inches of 2.54 cm; 16.1 hh is 165.1 cm on every passport.
func TestHandsToCm(t *testing.T) {
	for hands, want := range map[float64]float64{16.1: 165.1, 14.2: 147.32, 12: 121.92, 10.3: 109.22} {
		if got, err := HandsToCm(hands); err != nil || math.Abs(got-want) > 1e-9 {
			t.Errorf("%v hh is %v cm (%v), want %v", hands, got, err, want)
		}
	}
	for _, hands := range []float64{16.4, 16.5, 16.15, -1} {
		if got, err := HandsToCm(hands); err == nil {
			t.Errorf("%v hh is %v cm, want it refused", hands, got)
		}
	}
}

func TestWrittenNumberReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(-9999999, 9999999).Draw(t, "hundredths")
		v := float64(n) / 100
		text := strconv.FormatFloat(v, 'f', 2, 64)
		unit := rapid.SampledFrom([]string{"", "kg", " kg", " scoops", "\u00a0lb", " g"}).Draw(t, "unit")
		for _, written := range []string{text, strings.Replace(text, ".", ",", 1)} {
			got, err := ParseQuantity(written + unit)
			if err != nil || math.Abs(got.Value-v) > 1e-9 {
				t.Fatalf("%q reads as %v (%v), want %v", written+unit, got, err, v)
			}
		}
	})
}

func TestQuartersReadBack(t *testing.T) {
	names := []string{"", "¼", "½", "¾"}
	words := []string{"", " 1/4", " 1/2", " 3/4"}
	rapid.Check(t, func(t *rapid.T) {
		whole, q := rapid.IntRange(1, 30).Draw(t, "whole"), rapid.IntRange(0, 3).Draw(t, "quarters")
		want := float64(whole) + float64(q)/4
		for _, text := range []string{strconv.Itoa(whole) + names[q], strconv.Itoa(whole) + words[q]} {
			if got, err := ParseNumber(text); err != nil || got != want {
				t.Fatalf("%q reads as %v (%v), want %v", text, got, err, want)
			}
		}
	})
}

func FuzzNumber(f *testing.F) {
	for _, s := range []string{"520", "1,5", "½", "1 1/2", "2½ scoops", "1.5kg", "16.1hh", "1h15", "3 lb 8 oz", "1,250", "-", "–3", "1.250,5", "#REF!", "½/", "1-½"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		v, err := ParseNumber(s)
		if err == nil {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("%q reads as %v", s, v)
			}
			if !strings.ContainsFunc(s, func(r rune) bool { return r >= '0' && r <= '9' || vulgar[r] != 0 }) {
				t.Fatalf("%q has no figure and reads as %v", s, v)
			}
			q, err := ParseQuantity(s)
			if err != nil || q.Value != v || q.Unit != "" {
				t.Fatalf("%q is the number %v but the quantity %v (%v)", s, v, q, err)
			}
		}
		if q, err := ParseQuantity(s); err == nil && (math.IsNaN(q.Value) || math.IsInf(q.Value, 0)) {
			t.Fatalf("%q reads as %v", s, q)
		}
		if m, err := ParseClock(s); err == nil && (m < 0 || m >= 24*60) {
			t.Fatalf("%q is minute %d", s, m)
		}
		if d, err := ParseDate(s); err == nil && (d.Year() < firstYear || d.Year() > last) {
			t.Fatalf("%q is %v", s, d)
		}
		splitHeading(s)
	})
}
