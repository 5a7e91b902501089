"""Write the demo yard with openpyxl, cell by cell, from the same tables.

    python3 testdata/workbooks/openpyxl_demo.py templates/demo testdata/workbooks/openpyxl.xlsx
"""

import csv
import datetime
import pathlib
import re
import sys

import openpyxl

tables, out = pathlib.Path(sys.argv[1]), sys.argv[2]
book = openpyxl.Workbook()
book.remove(book.active)
for name in ("horses", "work", "rations", "feeds", "sessions", "yard"):
    sheet = book.create_sheet(name)
    with open(tables / f"{name}.csv", newline="", encoding="utf-8") as f:
        for r, row in enumerate(csv.reader(f), start=1):
            for c, text in enumerate(row, start=1):
                if text == "":
                    continue
                cell = sheet.cell(row=r, column=c)
                if re.fullmatch(r"\d{4}-\d\d-\d\d", text):
                    cell.value = datetime.date.fromisoformat(text)
                    cell.number_format = "d mmm yyyy"
                elif re.fullmatch(r"-?\d+", text):
                    cell.value = int(text)
                elif re.fullmatch(r"-?\d+\.\d+", text):
                    cell.value = float(text)
                else:
                    cell.value = text
    sheet.freeze_panes = "B2"
book.properties.created = book.properties.modified = datetime.datetime(2026, 11, 30)
book.save(out)
