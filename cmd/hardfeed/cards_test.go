package main

import (
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// What stands in the demo's results.json stands on the horse's card: every
// meal, feed and amount, and every hold. The text is read back out of the PDF
// by poppler's pdftotext.
func TestTheDemosResultsStandOnItsCards(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "demo")
	if code := run(t.Context(), []string{"demo", "-o", dir, "--cards-per-page", "1"}, nil, &strings.Builder{}, &strings.Builder{}); code != exitDone {
		t.Fatalf("exit code %d", code)
	}
	data, err := os.ReadFile(filepath.Join(dir, resultsName))
	if err != nil {
		t.Fatal(err)
	}
	var results struct {
		Horses []struct {
			Name, Status string
			HeldWhy      []string `json:"held_why"`
			Ration       []struct {
				Day, Meal, Feed, Class, Measure string
				Kg                              float64
				Measures, Ml                    *float64
				Weigh                           bool
				AdLib                           bool `json:"ad_lib"`
			}
		}
	}
	if err := json.Unmarshal(data, &results); err != nil {
		t.Fatal(err)
	}
	text, err := exec.Command("pdftotext", filepath.Join(dir, "cards.pdf"), "-").Output()
	if err != nil {
		t.Fatal("pdftotext (poppler-utils): ", err)
	}
	squeeze := func(s string) string { return strings.Join(strings.Fields(s), "") }
	cards := map[string]string{}
	for _, page := range strings.Split(string(text), "\f") {
		first, _, _ := strings.Cut(strings.TrimSpace(page), "\n")
		cards[strings.TrimSpace(first)] += squeeze(page)
	}
	amounts := 0
	for _, h := range results.Horses {
		card, ok := cards[h.Name]
		if !ok {
			t.Errorf("%s has no card", h.Name)
			continue
		}
		need := func(what string) {
			if !strings.Contains(card, squeeze(what)) {
				t.Errorf("%s: %q does not stand on the card", h.Name, what)
			}
		}
		if h.Status == "held" {
			need("HELD")
			for _, why := range h.HeldWhy {
				need(why[1:]) // its first letter is a capital on the card
			}
		}
		for _, r := range h.Ration {
			need(r.Feed)
			if r.Meal != "" {
				need(r.Meal)
			}
			amounts++
			switch {
			case r.AdLib:
				need("ad lib")
			case r.Ml != nil:
				need(fmt.Sprintf("%g ml", *r.Ml))
			case r.Kg == 0:
				need("none")
			case r.Measures != nil && !r.Weigh:
				need(quarters(*r.Measures) + r.Measure)
			case r.Kg < 0.1:
				need(strconv.FormatFloat(r.Kg*1000, 'f', -1, 64) + " g")
			default:
				need(strconv.FormatFloat(r.Kg, 'f', -1, 64) + " kg")
			}
		}
	}
	if len(results.Horses) != 18 || amounts < 200 {
		t.Errorf("%d horses with %d amounts: the demo has 18 and several hundred", len(results.Horses), amounts)
	}
}

// quarters writes a number of quarter measures as the cards do.
func quarters(n float64) string {
	whole := int(n)
	s := map[float64]string{0: "", 0.25: "¼", 0.5: "½", 0.75: "¾"}[n-float64(whole)]
	if whole > 0 {
		s = strconv.Itoa(whole) + s
	}
	return s
}
