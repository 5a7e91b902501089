package inbox

import (
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
	"pgregory.net/rapid"
)

// Nasty names, as a yard, a person or a joker may write them.
var nasty = []string{
	"", " ", ".", "..", "...", "../../etc/passwd", `..\..\windows`, "/etc/passwd", `C:\Windows`, `\\server\share`, "a/b", "C:", "C:file",
	"CON", "con.xlsx", "nul", "NUL.tar.gz", "COM1", "com¹.xlsx", "LPT9 .txt", "aux ", "CONIN$", "prn.", "COM0", "CONSOLE", "COMMON",
	"trailing.", "trailing. . ", " leading", ".hidden", "-rf", "--once", "~$week", "a:b", "a*b?c", `<a>"b"|c`, "tab\tnew\nline\r", "nul\x00byte", "esc\x1b[31m",
	"line\u2028par\u2029", "rtl\u202exslx.exe", "zero\u200bwidth", "bom\ufeff", "bad\xff\xfeutf", "é", "e\u0301", "ﬁ", "Ω", "K", "馬", "🐴🏇", "👩‍🌾", "السّاكن", "שׁלום",
	strings.Repeat("x", 300), strings.Repeat("🐴", 100), strings.Repeat("e\u0301", 200), strings.Repeat("a.", 200), strings.Repeat("../", 100),
	"%s%n", "$(rm -rf)", "`id`", "a;b&c", "week.xlsx", "x" + strings.Repeat(".", 120) + ".xlsx", "=1+1", "'; drop table", "new\u00adhyphen", "nbsp\u00a0name",
}

// fitEverywhere is what file systems ask of a name: NTFS and the Windows shell
// (Microsoft, "Naming Files, Paths, and Namespaces", from memory), HFS+ (NFC against
// doubled names), and 255 bytes with room to spare.
func fitEverywhere(name string) string {
	if name == "" || name == "." || name == ".." {
		return "no name"
	}
	if len(name) > maxNameBytes {
		return "too long"
	}
	if !utf8.ValidString(name) || !norm.NFC.IsNormalString(name) {
		return "not UTF-8 in NFC"
	}
	for _, r := range name {
		if strings.ContainsRune(`<>:"/\|?*`, r) || r < 32 || !unicode.IsGraphic(r) || unicode.IsSpace(r) && r != ' ' {
			return "a character " + string(r)
		}
	}
	if last := name[len(name)-1]; last == '.' || last == ' ' || name[0] == ' ' || name[0] == '.' {
		return "a dot or a space at an end"
	}
	stem, _, _ := strings.Cut(strings.ToUpper(name), ".")
	for _, device := range strings.Fields("CON PRN AUX NUL CONIN$ CONOUT$ COM0 COM1 COM2 COM3 COM4 COM5 COM6 COM7 COM8 COM9 COM¹ COM² COM³ LPT0 LPT1 LPT2 LPT3 LPT4 LPT5 LPT6 LPT7 LPT8 LPT9 LPT¹ LPT² LPT³") {
		if strings.TrimSpace(stem) == device {
			return "a device"
		}
	}
	return ""
}

func TestFit(t *testing.T) {
	for in, want := range map[string]string{
		"week.xlsx": "week.xlsx", "Week 49.XLSX": "Week 49.XLSX", "": "unnamed", "..": "unnamed", "../../etc/passwd": "_.._etc_passwd",
		"CON": "_CON", "con.xlsx": "_con.xlsx", "COMMON": "COMMON", "COM1 .x": "_COM1 .x", "Cold Brook.": "Cold Brook", "a\nb": "a b", "e\u0301": "é",
		"rtl\u202exslx.exe": "rtlxslx.exe", "馬": "馬", "🐴": "🐴", ".xlsx": "unnamed.xlsx", strings.Repeat("x", 300) + ".xlsx": strings.Repeat("x", 95) + ".xlsx",
	} {
		if got := Fit(in); got != want {
			t.Errorf("Fit(%q) = %q, want %q", in, got, want)
		}
	}
	for _, n := range nasty {
		if why := fitEverywhere(Fit(n)); why != "" {
			t.Errorf("Fit(%q) = %q: %s", n, Fit(n), why)
		}
	}
}

func TestFitOfAnything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := rapid.OneOf(rapid.String(), rapid.StringMatching(`[ .]*(CON|nul|com[0-9¹]|x{0,120})[ .]*(\.(xlsx|XLS|txt))?[ .]*`),
			rapid.Map(rapid.SliceOf(rapid.Byte()), func(b []byte) string { return string(b) }), rapid.SampledFrom(nasty)).Draw(t, "name")
		got := Fit(in)
		if why := fitEverywhere(got); why != "" {
			t.Fatalf("Fit(%q) = %q: %s", in, got, why)
		}
		if again := Fit(got); again != got {
			t.Fatalf("Fit(%q) = %q, and of that %q", in, got, again)
		}
		if _, ext := cutExt(in); ext != "" {
			if _, kept := cutExt(got); kept != ext {
				t.Fatalf("Fit(%q) = %q: the ending is gone", in, got)
			}
		}
		for n := 1; n < 3; n++ {
			if s := numbered(got, n); len(s) > 2*maxNameBytes || !plainName(s) {
				t.Fatalf("%q with a number is %q", got, s)
			}
		}
	})
}

// Nothing that is in a job.json leads out of the folder.
func FuzzJournal(f *testing.F) {
	f.Add([]byte(`{"schema":1,"sha256":"` + strings.Repeat("0a", 32) + `","name":"week.xlsx","yard":"Cold Brook","week":"2026-11-30","edition":1,"folder":"2026-11-30 Cold Brook"}`))
	f.Add([]byte(`{"schema":1,"sha256":"` + strings.Repeat("0a", 32) + `","name":"../week.xlsx","yard":"..","week":"undated","edition":1,"folder":"../../x"}`))
	f.Add([]byte(`{"schema":1,"week":"../..","edition":-1}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		j, err := readJournal(data)
		if err != nil {
			return
		}
		for _, name := range []string{j.Folder, j.Week, j.Name} {
			if name == "" || strings.HasPrefix(name, ".") || strings.ContainsAny(name, "/\\:\x00") {
				t.Errorf("%q is taken for a name", name)
			}
		}
		if j.Edition < 1 || len(j.SHA256) != 64 {
			t.Errorf("%+v", j)
		}
	})
}

// Judging whether a file is whole must end well on any bytes, and no start of a
// workbook may pass for all of it.
func FuzzRipe(f *testing.F) {
	whole := workbook("Cold Brook", week49, strings.Repeat("text ", 50))
	f.Add(whole, 10)
	f.Add([]byte{}, 0)
	f.Add(make([]byte, 100), 50)
	f.Add([]byte("\xd0\xcf\x11\xe0"), 2)
	f.Fuzz(func(t *testing.T, data []byte, cut int) {
		ripe(data)
		if cut >= 0 && cut < len(whole) && ripe(whole[:cut]) {
			t.Errorf("%d of %d bytes count as whole", cut, len(whole))
		}
	})
}
