package main

import (
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/spf13/pflag"
	"go.yaml.in/yaml/v3"
	"pgregory.net/rapid"

	"hardfeed/ration"
	"hardfeed/ration/yard"
	"hardfeed/templates"
)

// load reads settings as a command would: file is the text of a settings file,
// env holds NAME=value, args are flags.
func load(t testing.TB, file string, env, args []string) (Settings, error) {
	t.Helper()
	path := ""
	if file != "" {
		path = filepath.Join(t.TempDir(), "settings.yaml")
		if err := os.WriteFile(path, []byte(file), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	var j jobFlags
	flags := pflag.NewFlagSet("run", pflag.ContinueOnError)
	j.add(flags)
	if err := flags.Parse(args); err != nil {
		t.Fatal(err)
	}
	for _, e := range env {
		name, value, _ := strings.Cut(e, "=")
		t.Setenv(name, value)
	}
	return loadSettings(path, flags)
}

func TestNothingSetIsTheDefaultRules(t *testing.T) {
	s, err := load(t, "", nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	want := ration.DefaultRules()
	want.Workings = false // only why asks for them
	if got := s.rules(); !reflect.DeepEqual(got, want) {
		t.Errorf("rules are %+v, want %+v", got, want)
	}
}

func TestCommentedSettingsFileIsTheDefaults(t *testing.T) {
	s, err := load(t, templates.Settings(), nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	if want := defaultSettings(); !reflect.DeepEqual(s, want) {
		t.Errorf("the file gives %+v, the defaults are %+v", s, want)
	}
	var tree map[string]any
	if err := yaml.Unmarshal([]byte(templates.Settings()), &tree); err != nil {
		t.Fatal(err)
	}
	for _, k := range settingKeys() {
		group, name, inGroup := strings.Cut(k.name, ".")
		m := tree
		if inGroup {
			m, _ = tree[group].(map[string]any)
		} else {
			name = group
		}
		if _, ok := m[name]; !ok {
			t.Errorf("%s is a setting and does not stand in the commented file", k.name)
		}
	}
}

func TestEveryFieldOfTheRulesCanBeSet(t *testing.T) {
	// 3 of every number is nonsense as a setting, but shows a field that
	// rules() forgets to hand on.
	var s Settings
	var fill func(v reflect.Value)
	fill = func(v reflect.Value) {
		switch v.Kind() {
		case reflect.Struct:
			for i := range v.NumField() {
				fill(v.Field(i))
			}
		case reflect.Float64:
			v.SetFloat(3)
		case reflect.Int:
			v.SetInt(3)
		case reflect.String:
			v.SetString("x")
		}
	}
	fill(reflect.ValueOf(&s).Elem())
	var zero func(name string, v reflect.Value)
	zero = func(name string, v reflect.Value) {
		switch v.Kind() {
		case reflect.Struct:
			for i := range v.NumField() {
				zero(name+"."+v.Type().Field(i).Name, v.Field(i))
			}
		case reflect.Array:
			for i := range v.Len() {
				zero(name, v.Index(i))
			}
		default:
			if v.IsZero() && name != "Rules.Workings" { // set by why alone
				t.Errorf("%s is not taken from the settings", name)
			}
		}
	}
	zero("Rules", reflect.ValueOf(s.rules()))
}

func TestWhatCountsFirst(t *testing.T) {
	for _, c := range []struct {
		name, file string
		env, args  []string
		want       int
	}{
		{"default", "", nil, nil, 2},
		{"file over default", "cards_per_page: 4", nil, nil, 4},
		{"variable over file", "cards_per_page: 4", []string{"HARDFEED_CARDS_PER_PAGE=1"}, nil, 1},
		{"flag over variable", "cards_per_page: 4", []string{"HARDFEED_CARDS_PER_PAGE=1"}, []string{"--cards-per-page=2"}, 2},
		{"flag over file", "cards_per_page: 4", nil, []string{"--cards-per-page=1"}, 1},
		{"variable without a file", "", []string{"HARDFEED_CARDS_PER_PAGE=4"}, nil, 4},
		{"an empty variable is none", "cards_per_page: 4", []string{"HARDFEED_CARDS_PER_PAGE="}, nil, 4},
	} {
		t.Run(c.name, func(t *testing.T) {
			s, err := load(t, c.file, c.env, c.args)
			if err != nil || s.CardsPerPage != c.want {
				t.Errorf("%d cards a page, %v; want %d", s.CardsPerPage, err, c.want)
			}
		})
	}
}

func TestVariablesByKind(t *testing.T) {
	s, err := load(t, "limits:\n  meal_stop_kg: 0.45\n", []string{
		"HARDFEED_GOING=1.25", "HARDFEED_WEIGHT_STALE_DAYS=14", "HARDFEED_PAPER=letter",
		"HARDFEED_PACE_M_PER_MIN_TROT=230", "HARDFEED_LIMITS_OATS_WARN_KG_PER_500=2", "PATH=/bin",
	}, nil)
	if err != nil {
		t.Fatal(err)
	}
	if s.Going != 1.25 || s.WeightStaleDays != 14 || s.Paper != "Letter" || s.PaceMPerMin.Trot != 230 ||
		s.PaceMPerMin.Walk != 95 || s.Limits.OatsWarnKgPer500 != 2 || s.Limits.MealStopKg != 0.45 {
		t.Errorf("%+v", s)
	}
}

func TestRefusedSettings(t *testing.T) {
	for _, c := range []struct {
		name, file string
		env        []string
		want       []string // all in the one sentence
	}{
		{"a slip in a key", "going: 1\ncards_per_pag: 2\n", nil, []string{"line 2", "cards_per_pag.", "cards_per_page?"}},
		{"a slip in a group's key", "limits:\n  meal_stp_kg: 0.4\n", nil, []string{"line 2", "limits.meal_stp_kg", "meal_stop_kg in the group limits?"}},
		{"a group's key outside it", "trot: 200\n", nil, []string{"trot in the group pace_m_per_min?"}},
		{"a dotted key", "pace_m_per_min.trot: 200\n", nil, []string{"trot in the group pace_m_per_min?"}},
		{"nothing like it", "colour: blue\n", nil, []string{"line 1", "colour", "starter --settings"}},
		{"twice", "going: 1\ngoing: 2\n", nil, []string{"line 2", "line 1", "Take one out"}},
		{"twice in another case", "going: 1\nGoing: 2\n", nil, []string{"line 2", "line 1", "Take one out"}},
		{"text for a number", "going: \"1.1\"\n", nil, []string{"line 1", "going", "number"}},
		{"a decimal comma", "going: 1,1\n", nil, []string{"going", `"1,1"`, "point"}},
		{"yes for a number", "going: yes\n", nil, []string{"going", "number"}},
		{"a part for a whole number", "weight_stale_days: 25.7\n", nil, []string{"weight_stale_days", "whole number"}},
		{"a number for a word", "paper: 4\n", nil, []string{"paper", "word"}},
		{"no value", "going:\n", nil, []string{"going", "no value"}},
		{"a list for a number", "going: [1]\n", nil, []string{"going", "single value"}},
		{"a group without its keys", "limits: 3\n", nil, []string{"limits", "group"}},
		{"not a number", "going: .nan\n", nil, []string{"going"}},
		{"endless", "going: .inf\n", nil, []string{"going"}},
		{"not YAML", "going: [1\n", nil, []string{"YAML", "line"}},
		{"not settings", "just words\n", nil, []string{"name: value"}},
		{"two documents", "going: 1\n---\ngoing: 1.1\n", nil, []string{"---"}},
		{"another work model", "work_model: guess\n", nil, []string{"guess", "pace", "hourly", "class"}},
		{"three cards", "cards_per_page: 3\n", nil, []string{"1, 2 or 4"}},
		{"another paper", "paper: A5\n", nil, []string{"A5", "A4 or Letter"}},
		{"a walk like a gallop", "pace_m_per_min:\n  walk: 500\n", nil, []string{"pace_m_per_min.walk", "500", "150"}},
		{"a rest day as any other", "rest_day_factor: 1\n", nil, []string{"rest_day_factor", "0.5"}},
		{"a laxer top limit", "limits:\n  week_rise_stop_kg: 0.3\n", nil, []string{"0.3", "stricter than 0.28", "To loosen it"}},
		{"a laxer floor", "limits:\n  forage_stop_pct: 1\n", nil, []string{"stricter than 1.25", "To loosen it"}},
		{"a limit of nought", "limits:\n  meal_stop_kg: 0\n", nil, []string{"above 0"}},
		{"a floor no horse can eat", "limits:\n  forage_warn_pct: 4\n", nil, []string{"at most 2.5"}},
		{"a top limit below the usual one", "limits:\n  meal_stop_kg: 0.2\n", nil, []string{"limits.meal_stop_kg (0.2)", "limits.meal_warn_kg (0.3)"}},
		{"a floor's stop above its warning", "limits:\n  forage_stop_pct: 1.6\n", nil, []string{"limits.forage_stop_pct", "limits.forage_warn_pct"}},
		{"synonyms as a map", "synonyms:\n  Weight: Kilos\n", nil, []string{"- column:"}},
		{"a synonym without its word", "synonyms:\n  - column: Weight\n", nil, []string{"line 2", "word:"}},
		{"a synonym that is a number", "synonyms:\n  - column: Weight\n    word: 7\n", nil, []string{"quotation marks"}},
		{"a synonym of no column", "synonyms:\n  - column: wieght\n    word: Kilos\n", nil, []string{`"wieght"`, "mean weight?"}},
		{"an unknown variable", "", []string{"HARDFEED_GOIN=1"}, []string{"HARDFEED_GOIN.", "HARDFEED_GOING?"}},
		{"text in a number's variable", "", []string{"HARDFEED_GOING=deep"}, []string{"HARDFEED_GOING", `"deep"`, "number"}},
		{"a word for two columns", "synonyms:\n  - {column: weight, word: Kilos}\n  - {column: score, word: kilos}\n", nil, []string{`"Kilos"`, "the score and the weight"}},
		{"a list's variable", "", []string{"HARDFEED_SYNONYMS=a"}, []string{"HARDFEED_SYNONYMS", "settings file"}},
		{"a laxer variable", "", []string{"HARDFEED_LIMITS_MEAL_STOP_KG=9"}, []string{"To loosen it"}},
		{"mail by another way", "mail:\n  tls: ssl\n", nil, []string{"mail.tls", `"ssl"`, "starttls, implicit or none"}},
		{"mail in the clear to another machine", "mail:\n  host: smtp.example.org\n  tls: none\n  from: cards@example.org\n  to: [sam@example.org]\n", nil, []string{"mail.host", "only to this same machine", "smtp.example.org"}},
		{"a mail server that is none", "mail:\n  host: \"smtp example\"\n", nil, []string{"mail.host", "smtp.example.org"}},
		{"mail without a sender", "mail:\n  host: smtp.example.org\n  to: [sam@example.org]\n", nil, []string{"mail.from"}},
		{"mail to nobody", "mail:\n  host: smtp.example.org\n  from: cards@example.org\n", nil, []string{"mail.to names nobody"}},
		{"mail to a name", "mail:\n  to: [Hattie]\n", nil, []string{"mail.to", `"Hattie"`, "hattie@example.org"}},
		{"mail to one twice", "mail:\n  to: [sam@example.org, Sam <SAM@example.org>]\n", nil, []string{"SAM@example.org twice"}},
		{"mail to two in one line", "mail:\n  to: [\"sam@example.org, hattie@example.org\"]\n", nil, []string{"mail.to", "is not a mail address"}},
		{"a header in an address", "mail:\n  to: [\"sam@example.org\\r\\nBcc: x@example.org\"]\n", nil, []string{"mail.to", "is not a mail address"}},
		{"recipients that are no list", "mail:\n  to: sam@example.org\n", nil, []string{"line 2", "mail.to is a list"}},
		{"a number among them", "mail:\n  to: [7]\n", nil, []string{"line 2", "mail.to is a list"}},
		{"a sheet there is not", "mail:\n  attach: [cards, results]\n", nil, []string{"mail.attach", `"results"`, "cards, scoops, office, season"}},
		{"a sheet twice", "mail:\n  attach: [cards, cards]\n", nil, []string{"cards twice"}},
		{"a port there is not", "mail:\n  port: 70000\n", nil, []string{"mail.port", "65535"}},
		{"recipients by a variable", "", []string{"HARDFEED_MAIL_TO=sam@example.org"}, []string{"HARDFEED_MAIL_TO", "settings file"}},
		{"a password among the settings", "mail:\n  password: Striegel\n", nil, []string{"mail.password", "password_file"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := load(t, c.file, c.env, nil)
			if err == nil {
				t.Fatal("taken without a word")
			}
			for _, w := range c.want {
				if !strings.Contains(err.Error(), w) {
					t.Errorf("says %q, which lacks %q", err, w)
				}
			}
			if strings.Contains(err.Error(), "\n") {
				t.Errorf("more than one line: %q", err)
			}
		})
	}
}

func TestNoLimitCanBeMadeLaxer(t *testing.T) {
	for _, k := range settingKeys() {
		name, ok := strings.CutPrefix(k.name, "limits.")
		if !ok {
			continue
		}
		laxer := k.byValue.Float() * 1.01
		if _, ok := floors()[k.name]; ok {
			laxer = k.byValue.Float() * 0.99
		}
		_, err := load(t, "limits:\n  "+name+": "+strconv.FormatFloat(laxer, 'f', -1, 64)+"\n", nil, nil)
		if err == nil || !strings.Contains(err.Error(), "To loosen it") {
			t.Errorf("%s at %v: %v", k.name, laxer, err)
		}
	}
}

func TestSynonyms(t *testing.T) {
	s, err := load(t, "synonyms:\n  - column: Weight\n    word: Kilos on the Bridge\n  - {column: Weight, word: B.W. (kg)}\n", nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	want := map[string][]string{"weight": {"Kilos on the Bridge", "B.W. (kg)"}}
	if got := s.options().Synonyms; !reflect.DeepEqual(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
}

// One language or two, no more, and none that is not known.
func TestLanguageOfTheCards(t *testing.T) {
	for text, want := range map[string]string{"de": "de", "en, pl": "en pl", "PT": "pt", "fr,de": "fr de"} {
		s, err := load(t, "language: "+text+"\n", nil, nil)
		if got := strings.Join(s.meta(yard.Week{}).Languages, " "); err != nil || got != want {
			t.Errorf("%s: %q, %v", text, got, err)
		}
	}
	for _, bad := range []string{`""`, "it", "de, de", "en, de, fr", "English"} {
		if _, err := load(t, "language: "+bad+"\n", nil, nil); err == nil || !strings.Contains(err.Error(), "language") {
			t.Errorf("%s: %v", bad, err)
		}
	}
}

// The headings that ship are settings files like any other, each word stands
// for one column of a sheet, and none takes a word away from English.
func TestShippedHeadings(t *testing.T) {
	if got := templates.HeadingLanguages(); !slices.Equal(got, []string{"de", "es", "fr"}) {
		t.Fatalf("languages: %v", got)
	}
	for _, code := range templates.HeadingLanguages() {
		text, err := templates.Headings(code)
		if err != nil {
			t.Fatal(err)
		}
		byFile, err := load(t, string(text), nil, nil)
		if err != nil {
			t.Errorf("%s: %v", code, err)
		}
		bySetting, err := load(t, "headings: "+code+"\n", nil, nil)
		if err != nil {
			t.Errorf("%s: %v", code, err)
		}
		if got, want := bySetting.options(), byFile.options(); !reflect.DeepEqual(got, want) || len(want.Synonyms) < 100 {
			t.Errorf("%s: the setting gives %d columns and the file %d", code, len(got.Synonyms), len(want.Synonyms))
		}
	}
	if _, err := load(t, "headings: it\n", nil, nil); err == nil || !strings.Contains(err.Error(), "de, es, fr") {
		t.Errorf("an unknown language: %v", err)
	}
}

func TestASettingsFileThatIsNotThere(t *testing.T) {
	_, err := loadSettings(filepath.Join(t.TempDir(), "none.yaml"), pflag.NewFlagSet("", pflag.ContinueOnError))
	if err == nil || !strings.Contains(err.Error(), "none.yaml") {
		t.Errorf("got %v", err)
	}
}

// Whatever limits are accepted, none is less strict than its default and no stop
// limit comes before its warning.
func TestAcceptedLimitsAreNeverLaxer(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		s := defaultSettings()
		v := reflect.ValueOf(&s.Limits).Elem()
		for i := range v.NumField() {
			if rapid.Bool().Draw(rt, "set") {
				v.Field(i).SetFloat(v.Field(i).Float() * rapid.Float64Range(0.5, 1.5).Draw(rt, "factor"))
			}
		}
		if s.check() != nil {
			return
		}
		std := ration.DefaultRules().Limits
		l := s.Limits
		if l.WeekRiseStopKg > std.WeekRiseStopKg || l.MealStopKg > std.MealStopKg || l.ForageStopPct < std.ForageStopPct {
			rt.Errorf("laxer limits accepted: %+v", l)
		}
		for _, p := range [][2]float64{{l.WeekRiseWarnKg, l.WeekRiseStopKg}, {l.DayRiseWarnKg, l.DayRiseStopKg}, {l.MealWarnKg, l.MealStopKg},
			{l.StarchMealWarnG, l.StarchMealStopG}, {l.HardFeedWarnPct, l.HardFeedStopPct}, {l.ForageStopPct, l.ForageWarnPct}} {
			if p[0] > p[1] {
				rt.Errorf("a top limit below the usual one: %+v", l)
			}
		}
	})
}

func FuzzSettingsFile(f *testing.F) {
	f.Add(templates.Settings())
	f.Add("limits:\n  meal_stop_kg: 0.4\n")
	f.Add("a: &a {b: *a}\n")
	f.Add("? [1]\n: 2\n")
	flags := pflag.NewFlagSet("run", pflag.ContinueOnError)
	f.Fuzz(func(t *testing.T, text string) {
		s, err := settingsFrom("settings.yaml", []byte(text), flags)
		if err != nil {
			return
		}
		for g := yard.Walk; g < yard.Gaits; g++ {
			if p := s.rules().PaceMPerMin[g]; math.IsNaN(p) || p <= 0 || p > 1100 {
				t.Errorf("%v at %v m/min was accepted", g, p)
			}
		}
		if s.Limits.WeekRiseStopKg > ration.DefaultRules().Limits.WeekRiseStopKg {
			t.Errorf("a laxer limit was accepted: %v", s.Limits.WeekRiseStopKg)
		}
	})
}
