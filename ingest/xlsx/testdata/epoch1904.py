#!/usr/bin/python3
"""Writes epoch1904_openpyxl.xlsx: a whiteboard of an invented yard as a workbook that
counts its days from 1904, by openpyxl 3.0.9 on Python 3.11.2 (Debian 12).

  python3 ingest/xlsx/testdata/epoch1904.py ingest/xlsx/testdata/epoch1904_openpyxl.xlsx
"""
import datetime as dt
import sys

import openpyxl
from openpyxl.utils.datetime import CALENDAR_MAC_1904

book = openpyxl.Workbook()
book.epoch = CALENDAR_MAC_1904
s = book.active
s.title = "Board"
s["A1"] = "Week of"
s["B1"] = dt.date(2026, 11, 30)
s["B1"].number_format = "d mmm yyyy"
s.append([])
head = ["Horse", "Weight kg", "Weighed"] + [dt.date(2026, 11, 30) + dt.timedelta(days=i) for i in range(7)] + ["AM now", "PM now", "Shod"]
s.append(head)
for row in [
    ["Thistle", 512, dt.date(2026, 11, 21), "rest", "hack 45", "school 40", "hack 45", "school 40", "hack 60", "off", "1.5 kg oats", "1.5 kg oats", dt.date(2026, 10, 7)],
    ["Marl", 455, dt.datetime(2026, 11, 23, 7, 30), "rest", "lunge 20", "hack 45", "rest", "lunge 20", "hack 30", "off", "1 kg oats", "1 kg oats", dt.date(2026, 10, 8)],
]:
    s.append(row)
for row in s.iter_rows(min_row=3):
    for c in row:
        if isinstance(c.value, (dt.date, dt.datetime)):
            c.number_format = "dd/mm/yyyy"
book.save(sys.argv[1])
