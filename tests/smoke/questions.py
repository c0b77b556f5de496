"""Asks DuckDB the questions of the manual over the tables, and the program itself over its own outputs.

questions.py BINARY WORK [PERSON...]; WORK/data is a data folder, the people are those who signed rounds in it.
"""

import json
import math
import os
import subprocess
import sys
from collections import defaultdict

import duckdb

binary, work, people = sys.argv[1], sys.argv[2], sys.argv[3:]
data, tables = f"{work}/data", f"{work}/tables"


def run(*call):
    return subprocess.run([binary, "--data", data, *call], check=True, capture_output=True, text=True).stdout


def same(a, b):
    if isinstance(a, float) or isinstance(b, float):
        return a is not None and b is not None and math.isclose(a, b, rel_tol=1e-9, abs_tol=1e-9)
    return a == b


def compare(what, found, own):
    if len(found) != len(own) or not all(same(a, b) for f, o in zip(found, own) for a, b in zip(f, o, strict=True)):
        sys.exit(f"questions: {what}\n  in SQL: {found}\n  by the program: {own}")


def parts(text):
    """The statements of the manual, by their heading."""
    sql = text.split("Questions in SQL")[1].split("\n\n")[1:]
    return {head.rstrip(":"): body for head, _, body in (part.partition("\n") for part in sql)}


run("tables", tables)
questions = parts(run("tables"))
os.chdir(tables)
base = duckdb.connect()
ask = lambda question: base.execute(questions[question]).fetchall()

loops = [loop for which in ("in-care", "scrapped") for loop in json.loads(run("loops", "--filter", which, "--format", "json"))["loops"]]
lives = {loop["loop"]: json.loads(run("history", loop["loop"], "--format", "json")) for loop in loops}
signed = [(tag, row) for tag, life in sorted(lives.items()) for row in life["rounds"] if row["how"] == "signed"]
if len(signed) < 20:
    sys.exit("questions: too few rounds to ask about")

lost = defaultdict(lambda: [0, 0.0, 0.0])
for _, row in signed:
    sums = lost[row["sharpener"]]
    sums[0] += 1
    if row["removed"]:
        sums[1] += row["removed"]["evening_mm"]
        sums[2] += row["removed"]["all_mm"]
if people and sorted(lost) != people:
    sys.exit(f"questions: rounds signed by {sorted(lost)}, not by {people}")
own = [(who, rounds, evening, evening / all) for who, (rounds, evening, all) in lost.items()]
compare("steel lost", ask("Steel lost to uneven filing, by sharpener"), sorted(own, key=lambda row: (-row[2], row[0])))

question, asked = "Loops due in a month", 0
for month in ("2026-12", "2027-01", "2027-02", "2027-03"):
    found = base.execute(questions[question].replace("2026-12", month)).fetchall()
    due = [loop for loop in loops if (loop["next"] or "").startswith(month)]
    own = [(loop["loop"], loop["name"], loop["owner"], loop["next"][:10]) for loop in sorted(due, key=lambda one: (one["next"], one["loop"]))]
    compare(f"due in {month}", found, own)
    asked += len(own)
if asked < 3:
    sys.exit("questions: no loop is due in any month")

figures = ("wear_mm", "spread_after_mm", "evening_share", "minutes")
mean = lambda values: sum(values) / len(values) if values else None
own = [
    (tag, part["tool"], part["rounds"], *(part[figure] for figure in figures))
    for tag, life in sorted(lives.items())
    for part in life["tools"]
]
found = ask("File against grinder")
# The program writes a mean to four decimals.
rounded = lambda row: tuple(round(cell, 4) if isinstance(cell, float) else cell for cell in row)
close = lambda a, b: abs(a - b) < 1.01e-4 if isinstance(a, float) and isinstance(b, float) else a == b
by_loop = [row for row in found if row[0] is not None]
if len(by_loop) != len(own) or not all(close(a, b) for f, o in zip(by_loop, own) for a, b in zip(rounded(f), o)):
    sys.exit(f"questions: file against grinder\n  in SQL: {by_loop}\n  by the program: {own}")
own = []
for tool in ("file", "grinder"):
    rows = [row for _, row in signed if row["tool"] == tool]
    if not rows:
        sys.exit(f"questions: no round with the {tool}")
    share = [row["removed"]["evening_share"] for row in rows if row["removed"] and row["removed"]["evening_share"] is not None]
    each = {"evening_share": share}
    values = [each.get(figure) or [row[figure] for row in rows if row.get(figure) is not None] for figure in figures]
    own.append((None, tool, len(rows), *map(mean, values)))
compare("file against grinder, all loops", [row for row in found if row[0] is None], own)

# Every key finds what it names.
for child, column, parent, key in (
    ("rounds", "loop", "loops", "loop"),
    ("rounds", "sharpener", "people", "person"),
    ("cutters", "round", "rounds", "round"),
    ("readings", "round", "rounds", "round"),
    ("readings", "person", "people", "person"),
    ("loops", "saw", "saws", "saw"),
):
    read = lambda name: f"read_csv('{name}.csv', all_varchar = true)"
    lone = f"SELECT DISTINCT {column} FROM {read(child)} WHERE {column} IS NOT NULL AND {column} NOT IN (SELECT {key} FROM {read(parent)})"
    missing = base.execute(lone).fetchall()
    # A card may name a saw that nobody has looked at yet.
    if missing and child != "loops":
        sys.exit(f"questions: {child}.{column} without {parent}: {missing}")
print(f"questions: {len(questions)} answered alike over {len(signed)} signed rounds")
