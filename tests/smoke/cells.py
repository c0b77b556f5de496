"""Compares a table with what a spreadsheet program made of it: cells.py TABLE SPREADSHEET BACK.

Numbers must be equal as numbers, texts as texts without the mark that keeps them from being calculated; and the
spreadsheet must hold no formula."""

import csv
import sys
import zipfile

MARKED = ("=", "+", "-", "@")


def rows(path):
    with open(path, newline="", encoding="utf-8") as file:
        return list(csv.reader(file))


def shown(text):
    return text[1:] if text.startswith("'") and text[1:].startswith(MARKED) else text


def same(before, after):
    if shown(before) == after:
        return True
    try:
        return float(before) == float(after)
    except ValueError:
        return False


def main():
    table, spreadsheet, back = sys.argv[1:]
    before, after = rows(table), rows(back)
    if len(before) != len(after):
        sys.exit(f"{table}: {len(before)} rows, read back {len(after)}")
    cells = 0
    for line, (one, other) in enumerate(zip(before, after), 1):
        # A spreadsheet leaves out what is empty at the end of a row.
        other = other + [""] * (len(one) - len(other))
        for name, a, b in zip(before[0], one, other):
            cells += 1
            if not same(a, b):
                sys.exit(f"{table}:{line}: {name} is {a!r}, read back {b!r}")
        if len(other) != len(one):
            sys.exit(f"{table}:{line}: {len(one)} cells, read back {len(other)}")
    with zipfile.ZipFile(spreadsheet) as parts:
        for part in parts.namelist():
            text = parts.read(part)
            if part.endswith(".xml") and (b"table:formula" in text or b"<f>" in text or b"<f " in text):
                sys.exit(f"{spreadsheet}: a formula in {part}")
    if not cells:
        sys.exit(f"{table}: no cell")


main()
