"""Write one small yard in many layouts, with programs that are not ours.

    python3 testdata/workbooks/layouts.py testdata/workbooks

Needs openpyxl, XlsxWriter, LibreOffice (soffice) and gnumeric (ssconvert). The
yard, its horses and its people are invented. README.md beside this file says
what each workbook is there for.
"""

import datetime
import pathlib
import subprocess
import sys
import tempfile
import zipfile
from xml.sax.saxutils import escape

import openpyxl
import openpyxl.styles
import openpyxl.utils.datetime
import xlsxwriter

OUT = pathlib.Path(sys.argv[1]).resolve()
TMP = pathlib.Path(tempfile.mkdtemp())
MONDAY = datetime.date(2026, 11, 30)
WEIGHED = datetime.date(2026, 11, 24)
DAYS = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"]
STAMP = datetime.datetime(2026, 11, 25)

YARD = [
    ["Setting", "Value"],
    ["Yard", "Fir Tree Yard"],
    ["Week beginning", MONDAY],
    ["Meals", "Breakfast 07:00, Tea 17:00"],
    ["Measures", "scoop 2 l"],
    ["Temperature", 4],
    ["Vet", "Ines Okafor, 01632 960144"],
]
HORSES = [
    ["Name", "Weight (kg)", "How weighed", "Date weighed", "Age", "Score", "Fitness", "Rider + tack (kg)", "Diagnoses"],
    ["Bramble", 520, "scale", WEIGHED, 9, 5, "hard", 80, None],
    ["Otter", 300, "tape", WEIGHED, 14, 6, "part-fit", 45, "laminitis"],
    ["Quill", 610, "scale", WEIGHED, 6, 5.5, "soft", 85.5, None],
]
WORK = [
    ["Horse"] + DAYS,
    ["Bramble", "rest", "hack 60", "W30 T20 C10", "rest", "hack 45", "show 10:00", "rest"],
    ["Otter", "rest", "W20", "rest", "W20", "rest", "W20", "off – farrier"],
    ["Quill", "hack 60", "rest", "schooling 45", "rest", "hack 60 (hills)", "rest", "rest"],
]
FEEDS = [
    ["Feed", "Kind", "What it is", "One measure (kg)", "Weighed on", "Bag (kg)", "Price"],
    ["Hay", "forage", "grass hay, mature", None, None, 20, 7.5],
    ["Oats", "hard feed", "oats", 0.84, WEIGHED, 25, 11],
    ["Chaff", "chaff", "oat chaff", 0.28, WEIGHED, 15, 9.25],
]
RATIONS = [
    ["Horse", "Feed", "Now", "Planned"],
    ["Bramble", "Hay", "9 kg", "9 kg"],
    ["Bramble", "Oats", "2 scoops", "2½ scoops"],
    ["Bramble", "Chaff", "1 scoop", "1 scoop"],
    ["Otter", "Hay", "5 kg", "5 kg"],
    ["Otter", "Chaff", "½ scoop", "½ scoop"],
    ["Quill", "Hay", "11.25 kg", "11.25 kg"],
    ["Quill", "Oats", "1 scoop", "1 1/2 scoops"],
]
PLAIN = {"Yard": YARD, "Horses": HORSES, "Work": WORK, "Feeds": FEEDS, "Rations": RATIONS}


def turned(table):
    return [list(row) for row in zip(*table)]


def with_openpyxl(path, tabs, epoch1904=False):
    book = openpyxl.Workbook()
    book.remove(book.active)
    if epoch1904:
        book.epoch = openpyxl.utils.datetime.CALENDAR_MAC_1904
    for name, rows in tabs.items():
        sheet = book.create_sheet(name)
        for r, row in enumerate(rows, start=1):
            for c, value in enumerate(row, start=1):
                if value is not None:
                    sheet.cell(row=r, column=c, value=value)
                    if isinstance(value, datetime.date):
                        sheet.cell(row=r, column=c).number_format = "dd/mm/yyyy"
    book.properties.created = book.properties.modified = STAMP
    book.save(path)
    return book


def with_xlsxwriter(path, tabs, extra=lambda book: None, cell=lambda book, sheet, r, c, value: False):
    book = xlsxwriter.Workbook(str(path))
    book.set_properties({"created": STAMP})
    date = book.add_format({"num_format": "d mmm yyyy"})
    for name, rows in tabs.items():
        sheet = book.add_worksheet(name)
        for r, row in enumerate(rows):
            for c, value in enumerate(row):
                if value is None or cell(book, sheet, r, c, value):
                    continue
                if isinstance(value, datetime.date):
                    sheet.write_datetime(r, c, datetime.datetime.combine(value, datetime.time()), date)
                elif isinstance(value, str):
                    sheet.write_string(r, c, value)
                else:
                    sheet.write(r, c, value)
    extra(book)
    book.close()


def saved_by_libreoffice(source, target, filter_name):
    subprocess.run(["soffice", "--headless", "--convert-to", f"{target.suffix[1:]}:{filter_name}", "--outdir", str(target.parent), str(source)], check=True, capture_output=True)
    (target.parent / (source.stem + target.suffix)).rename(target)


def saved_by_gnumeric(source, target):
    subprocess.run(["ssconvert", "--export-type=Gnumeric_Excel:xlsx2", str(source), str(target)], check=True, capture_output=True)


def ref(r, c):
    return chr(ord("A") + c) + str(r + 1)


def by_hand(path, tabs, shared):
    """Zip the parts together ourselves: all cells texts, inline or shared."""
    strings = []
    head = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
    ns = 'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'
    office = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"

    def text(value):
        return value.strftime("%-d %B %Y") if isinstance(value, datetime.date) else str(value)

    def cell(r, c, value):
        if shared:
            strings.append(text(value))
            return f'<c r="{ref(r, c)}" t="s"><v>{len(strings) - 1}</v></c>'
        return f'<c r="{ref(r, c)}" t="inlineStr"><is><t xml:space="preserve">{escape(text(value))}</t></is></c>'

    parts = {}
    for n, rows in enumerate(tabs.values(), start=1):
        body = "".join(
            f'<row r="{r + 1}">' + "".join(cell(r, c, v) for c, v in enumerate(row) if v is not None) + "</row>" for r, row in enumerate(rows)
        )
        parts[f"xl/worksheets/sheet{n}.xml"] = f"{head}<worksheet {ns}><sheetData>{body}</sheetData></worksheet>"
    if shared:
        parts["xl/sharedStrings.xml"] = f'{head}<sst {ns} count="{len(strings)}" uniqueCount="{len(strings)}">' + "".join(f'<si><t xml:space="preserve">{escape(s)}</t></si>' for s in strings) + "</sst>"
    numbers = range(1, len(tabs) + 1)
    sheets = "".join(f'<sheet name="{escape(name)}" sheetId="{n}" r:id="rId{n}"/>' for n, name in enumerate(tabs, start=1))
    parts["xl/workbook.xml"] = f'{head}<workbook {ns} xmlns:r="{office}"><sheets>{sheets}</sheets></workbook>'
    rels = "".join(f'<Relationship Id="rId{n}" Type="{office}/worksheet" Target="worksheets/sheet{n}.xml"/>' for n in numbers)
    types = "".join(f'<Override PartName="/xl/worksheets/sheet{n}.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"/>' for n in numbers)
    if shared:
        rels += f'<Relationship Id="rId{len(tabs) + 1}" Type="{office}/sharedStrings" Target="sharedStrings.xml"/>'
        types += '<Override PartName="/xl/sharedStrings.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sharedStrings+xml"/>'
    package = "http://schemas.openxmlformats.org/package/2006"
    parts["xl/_rels/workbook.xml.rels"] = f'{head}<Relationships xmlns="{package}/relationships">{rels}</Relationships>'
    parts["_rels/.rels"] = f'{head}<Relationships xmlns="{package}/relationships"><Relationship Id="rId1" Type="{office}/officeDocument" Target="xl/workbook.xml"/></Relationships>'
    parts["[Content_Types].xml"] = (
        f'{head}<Types xmlns="{package}/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
        f'<Default Extension="xml" ContentType="application/xml"/><Override PartName="/xl/workbook.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/>{types}</Types>'
    )
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as z:
        for name in sorted(parts):
            z.writestr(zipfile.ZipInfo(name, (2026, 11, 25, 0, 0, 0)), parts[name], zipfile.ZIP_DEFLATED)


# 1. Titles, headers further down, totals and notes, as .xlsm from LibreOffice.
book = with_openpyxl(TMP / "titles.xlsx", {
    **PLAIN,
    "Horses": [["Fir Tree Yard: the horses"], ["as of the last weighing"], [], []] + HORSES + [["Total", 1430], [], ["Note: Otter by the tape, asked the owner"]],
    "Work": [["Work, week commencing 30 November 2026"], []] + WORK + [[], ["* hack: by the mill, never on Fridays"]],
})
book["Horses"].merge_cells("A1:I1")
book.save(TMP / "titles.xlsx")
saved_by_libreoffice(TMP / "titles.xlsx", OUT / "titles_libreoffice.xlsm", "Calc MS Excel 2007 VBA XML")

# 2. Tables with filters, frozen panes, a defined name, a chart and a picture.
PIXEL = bytes.fromhex("89504e470d0a1a0a0000000d49484452000000010000000108060000001f15c4890000000d49444154789c6360606060000000050001a5f645400000000049454e44ae426082")


def furnished(book):
    horses = book.get_worksheet_by_name("Horses")
    horses.add_table(0, 0, 3, 8, {"name": "horses", "columns": [{"header": h} for h in HORSES[0]]})
    horses.freeze_panes(1, 1)
    horses.data_validation("G2:G40", {"validate": "list", "source": ["soft", "part-fit", "hard"]})
    book.get_worksheet_by_name("Work").autofilter(0, 0, 3, 7)
    book.define_name("theFeeds", "=Feeds!$A$2:$A$4")
    sheet = book.add_worksheet("Pictures")
    chart = book.add_chart({"type": "column"})
    chart.add_series({"categories": "=Horses!$A$2:$A$4", "values": "=Horses!$B$2:$B$4"})
    sheet.insert_chart("B2", chart)
    (TMP / "pixel.png").write_bytes(PIXEL)
    sheet.insert_image("J2", str(TMP / "pixel.png"))


with_xlsxwriter(OUT / "tables_chart_picture_xlsxwriter.xlsx", PLAIN, furnished)

# 3. Horses as columns, work turned too, saved by gnumeric.
with_openpyxl(TMP / "turned.xlsx", {**PLAIN, "Horses": turned(HORSES), "Work": turned([["Day"] + WORK[0][1:]] + WORK[1:])})
saved_by_gnumeric(TMP / "turned.xlsx", OUT / "turned_gnumeric.xlsx")

# 4. One sheet a day, inline texts, zipped by hand.
by_day = {day: [["Horse", "Work"]] + [[row[0], row[d + 1]] for row in WORK[1:]] for d, day in enumerate(["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"])}
by_hand(OUT / "sheet_a_day_inline.xlsx", {"Yard": YARD, "Horses": HORSES, "Feeds": FEEDS, "Rations": RATIONS, **by_day}, shared=False)

# 5. A diary of work, every number a text, shared strings only, zipped by hand.
diary = [["Date", "Horse", "Work"]] + [[MONDAY + datetime.timedelta(days=d), row[0], row[d + 1]] for d in range(7) for row in WORK[1:]]
by_hand(OUT / "diary_shared.xlsx", {**PLAIN, "Work": diary}, shared=True)

# 6. One sheet a horse, dates of the 1904 system.
own = {}
for horse, work in zip(HORSES[1:], WORK[1:]):
    rows = [[k, v] for k, v in zip(HORSES[0][1:], horse[1:]) if v is not None]
    rows += [[], ["Day", "Work"]] + [[d, w] for d, w in zip(DAYS, work[1:])]
    rows += [[], ["Feed", "Now", "Planned"]] + [r[1:] for r in RATIONS[1:] if r[0] == horse[0]]
    own[horse[0]] = rows
with_openpyxl(OUT / "sheet_a_horse_1904_openpyxl.xlsx", {"Yard": YARD, "Feeds": FEEDS, **own}, epoch1904=True)

# 7. All on one protected sheet, table under table.
one = YARD[1:] + [[]] + HORSES + [[], ["Work"]] + WORK + [[], ["Feeds"]] + FEEDS + [[], ["Rations"]] + RATIONS
book = with_openpyxl(OUT / "one_sheet_protected_openpyxl.xlsx", {"Winter": one})
book["Winter"].protection.sheet = True
book["Winter"].protection.password = "hay"
book.save(OUT / "one_sheet_protected_openpyxl.xlsx")

# 8. Tables beside each other; headers in two rows with merged cells; rich text,
# numbers as text, formulas with their results.
wide = [["Horse", None, None, None, None, None, None, None, None, None, "Feed"] + FEEDS[0][1:]]
for r in range(1, 4):
    wide.append(WORK[r] + [None, None] + FEEDS[r])
wide[0][:8] = WORK[0]


def fancy(book, sheet, r, c, value):
    if sheet.get_name() == "Horses" and r == 2 and c == 1:
        sheet.write_string(r, c, "520\u00a0kg")
    elif sheet.get_name() == "Horses" and r == 3 and c == 1:
        sheet.write_formula(r, c, "=150*2", None, 300)
    elif sheet.get_name() == "Horses" and r == 4 and c == 0:
        sheet.write_rich_string(r, c, book.add_format({"bold": True}), "Qu", "ill")
    elif sheet.get_name() == "Horses" and r == 4 and c == 7:
        sheet.write_string(r, c, "85,5")
    else:
        return False
    return True


def merged(book):
    sheet = book.get_worksheet_by_name("Horses")
    sheet.merge_range(0, 1, 0, 3, "Weight")
    sheet.merge_range(0, 4, 0, 7, "The horse")
    sheet.set_column("I:I", None, None, {"hidden": True})
    book.get_worksheet_by_name("Rations").set_row(3, None, None, {"hidden": True})


two = [["", "", None, None, "", None, None, None, None]] + [["Name", "kg", "How weighed", "Date weighed"] + HORSES[0][4:]] + HORSES[1:]
two[0] = ["Name"] + [None] * 8
two[1][0] = None
with_xlsxwriter(OUT / "side_by_side_xlsxwriter.xlsx", {"Yard": YARD, "Horses": two, "Work and feeds": wide, "Rations": RATIONS}, merged, fancy)

# 9 to 11. Headings in German, French and Spanish.
with_openpyxl(TMP / "german.xlsx", {
    "Hof": [["Einstellung", "Wert"], ["Hof", "Fir Tree Yard"], ["Woche ab", MONDAY], ["Mahlzeiten", YARD[3][1]], ["Schaufeln", YARD[4][1]], ["Temperatur", 4], ["Vet", YARD[6][1]]],
    "Pferde": [["Pferd", "Gewicht (kg)", "Gewogen mit", "Gewogen am", "Alter", "Kondition", "Trainingszustand", "Reiter + Sattel (kg)", "Diagnosen"]] + HORSES[1:],
    "Arbeit": [["Pferd", "Mo", "Di", "Mi", "Do", "Fr", "Sa", "So"]] + WORK[1:],
    "Futter": [["Futtermittel", "Art", "Was es ist", "Ein Maß (kg)", "Maß gewogen am", "Sack (kg)", "Preis"]] + FEEDS[1:],
    "Rationen": [["Pferd", "Futter", "Bisher", "Geplant"]] + RATIONS[1:],
})
saved_by_libreoffice(TMP / "german.xlsx", OUT / "german_libreoffice.xlsx", "Calc MS Excel 2007 XML")
with_xlsxwriter(OUT / "french_xlsxwriter.xlsx", {
    "Écurie": [["Paramètre", "Valeur"], ["Écurie", "Fir Tree Yard"], ["Semaine du", MONDAY], ["Horaires des repas", YARD[3][1]], ["Mesures", YARD[4][1]], ["Température", 4], ["Vet", YARD[6][1]]],
    "Chevaux": [["Cheval", "Poids (kg)", "Pesé avec", "Pesé le", "Âge", "Note d'état", "Forme", "Cavalier et selle (kg)", "Diagnostics"]] + HORSES[1:],
    "Travail": [["Cheval", "Lundi", "Mardi", "Mercredi", "Jeudi", "Vendredi", "Samedi", "Dimanche"]] + WORK[1:],
    "Aliments": [["Aliment", "Genre", "Équivalent", "Une mesure (kg)", "Mesure pesée le", "Sac (kg)", "Prix"]] + FEEDS[1:],
    "Rations": [["Cheval", "Aliment", "Actuel", "Prévu"]] + RATIONS[1:],
})
with_openpyxl(OUT / "spanish_openpyxl.xlsx", {
    "Cuadra": [["Ajuste", "Valor"], ["Cuadra", "Fir Tree Yard"], ["Semana del", MONDAY], ["Comidas", YARD[3][1]], ["Medidas", YARD[4][1]], ["Temperatura", 4], ["Vet", YARD[6][1]]],
    "Caballos": [["Caballo", "Peso (kg)", "Pesado con", "Pesado el", "Edad", "Condición corporal", "Forma física", "Jinete y montura (kg)", "Diagnósticos"]] + HORSES[1:],
    "Trabajo": [["Caballo", "Lun", "Mar", "Mié", "Jue", "Vie", "Sáb", "Dom"]] + WORK[1:],
    "Piensos": [["Pienso", "Clase", "Qué es", "Una medida (kg)", "Medida pesada el", "Saco (kg)", "Precio"]] + FEEDS[1:],
    "Raciones": [["Caballo", "Pienso", "Ahora", "Previsto"]] + RATIONS[1:],
})

# 12. Feeds as columns, saved by gnumeric; the plain layout, saved by LibreOffice,
# is what all others are compared with.
columns = [["Horse", "Hay", "Hay planned", "Oats", "Oats planned", "Chaff", "Chaff planned"]]
for horse in HORSES[1:]:
    row = [horse[0]]
    for feed in FEEDS[1:]:
        got = [r for r in RATIONS if r[0] == horse[0] and r[1] == feed[0]]
        row += got[0][2:] if got else [None, None]
    columns.append(row)
with_openpyxl(TMP / "columns.xlsx", {**PLAIN, "Rations": columns})
saved_by_gnumeric(TMP / "columns.xlsx", OUT / "feeds_as_columns_gnumeric.xlsx")
with_openpyxl(TMP / "plain.xlsx", PLAIN)
saved_by_libreoffice(TMP / "plain.xlsx", OUT / "plain_libreoffice.xlsx", "Calc MS Excel 2007 XML")
