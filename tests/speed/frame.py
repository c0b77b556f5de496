"""Loads an exported table with a data-frame library and computes, for every round of every loop, the median length, the
steel removed and the spread: what the rack and the histories hold. Prints how long that took."""

import sys
import time


def with_pandas(path):
    import pandas

    start = time.perf_counter()
    columns = ["loop", "started", "state", "length_mm", "after_mm"]
    frame = pandas.read_csv(path, usecols=columns)
    loaded = time.perf_counter() - start
    frame = frame[frame["state"] != "missing"]
    frame["removed"] = frame["length_mm"] - frame["after_mm"]
    rounds = frame.groupby(["loop", "started"])
    after = rounds["after_mm"]
    found = {"median": after.median(), "spread": after.max() - after.min(), "removed": rounds["removed"].sum()}
    return "pandas " + pandas.__version__, loaded, time.perf_counter() - start, len(found["median"])


def with_polars(path):
    import polars
    from polars import col

    start = time.perf_counter()
    columns = ["loop", "started", "state", "length_mm", "after_mm"]
    frame = polars.read_csv(path, columns=columns)
    loaded = time.perf_counter() - start
    after = col("after_mm")
    found = (
        frame.filter(col("state") != "missing")
        .group_by("loop", "started")
        .agg(
            after.median().alias("median"),
            (after.max() - after.min()).alias("spread"),
            (col("length_mm") - after).sum().alias("removed"),
        )
    )
    return "polars " + polars.__version__, loaded, time.perf_counter() - start, found.height


def main():
    done = 0
    for run in (with_pandas, with_polars):
        try:
            name, loaded, whole, rounds = run(sys.argv[1])
        except ImportError:
            continue
        done += 1
        print(f"{name}: {rounds} rounds, loaded in {loaded:.2f} s, {whole:.2f} s in all")
    if not done:
        print("neither pandas nor polars is installed: no data-frame library to compare with")


main()
