"""What one acknowledged reading costs beside the least that it can cost: the same bytes appended and synced, in the same folder and
the same run, turn by turn. Prints both medians and the ratio.

    reading.py BINARY FOLDER
"""

import os
import re
import statistics
import subprocess
import sys
import time

program, folder = sys.argv[1:]
INTAKE = ["new", "Timed", "three-eighths", "144", "full", "left", "", "", "", "", "Ina", "any", "file", "mm", "length", "left"]
LOOK = ["1"] * 7 + ["0.00"]
CUTTERS = 72

child = subprocess.Popen([program, "--data", os.path.join(folder, "timed"), "--plain"], stdin=subprocess.PIPE, stdout=subprocess.PIPE)
child.stdin.write("".join(line + "\n" for line in INTAKE + LOOK).encode())
child.stdin.flush()
said = b""


def hear(wanted):
    """Reads on until the words are there."""
    global said
    while not re.search(wanted, said):
        piece = os.read(child.stdout.fileno(), 65536)
        if not piece:
            sys.exit(f"reading: the round ended before {wanted!r}:\n{said.decode()[-400:]}")
        said += piece


bare = os.open(os.path.join(folder, "bare"), os.O_WRONLY | os.O_CREAT | os.O_APPEND)
# As long as the block of a reading.
block = b"x" * 140
floors, readings = [], []
hear(rb"(?i)cutter 1\b")
for cutter in range(1, CUTTERS + 1):
    start = time.perf_counter()
    os.write(bare, block)
    os.fdatasync(bare)
    floors.append(time.perf_counter() - start)
    length = f"9.{10 + cutter % 7}"
    start = time.perf_counter()
    child.stdin.write(f"{length}\n".encode())
    child.stdin.flush()
    hear(rf"Cutter {cutter}: {length}".encode())
    readings.append(time.perf_counter() - start)
child.kill()
floor, reading = (statistics.median(times) * 1e6 for times in (floors, readings))
print(f"a reading typed until it is acknowledged: {reading:.0f} us; the same bytes appended and synced: {floor:.0f} us; x {reading / floor:.2f}")
