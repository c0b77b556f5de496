"""What one acknowledged reading costs beside the least that it can cost, in the same folder and the same run, turn by turn: the same
bytes appended to a file and synced by this program itself, and by one that hears of them and answers through pipes as the real one does
(a shared machine makes both wait for a processor alike). Prints the medians and their ratios.

    reading.py BINARY FOLDER
"""

import os
import re
import statistics
import subprocess
import sys
import time

program, folder = sys.argv[1:]
INTAKE = ["three-eighths", "144", "full", "left", "", "", "", "", "Ina", "any", "file", "mm", "length", "left"]
LOOK = ["1"] * 7 + ["0.00"]
CUTTERS = 72
ROUNDS = 3
# As long as the block of a reading.
BLOCK = b"x" * 148
BARE = f"""
import os
file = os.open("bare-child", os.O_WRONLY | os.O_CREAT | os.O_APPEND)
while line := os.read(0, 100):
    os.write(file, b"x" * {len(BLOCK)})
    os.fdatasync(file)
    os.write(1, line)
"""


class Talk:
    """A program that is typed to."""

    def __init__(self, *command):
        self.child = subprocess.Popen(command, cwd=folder, stdin=subprocess.PIPE, stdout=subprocess.PIPE, bufsize=0)
        self.said = b""

    def types(self, text, wanted):
        """How long it takes from the line to the answer."""
        begun = time.perf_counter()
        self.child.stdin.write(text.encode())
        while not re.search(wanted, self.said):
            piece = os.read(self.child.stdout.fileno(), 65536)
            if not piece:
                sys.exit(f"reading: it ended before {wanted!r}:\n{self.said.decode()[-400:]}")
            self.said += piece
        took = time.perf_counter() - begun
        self.said = self.said[-400:]
        return took


bare = os.open(os.path.join(folder, "bare"), os.O_WRONLY | os.O_CREAT | os.O_APPEND)
child = Talk(sys.executable, "-c", BARE)
child.types("0\n", rb"0\n")
floors, answers, readings = [], [], []
for turn in range(ROUNDS):
    talk = Talk(program, "--data", os.path.join(folder, "timed"), "--plain")
    lines = ["new", f"Timed {turn}"] + INTAKE + LOOK
    talk.types("".join(line + "\n" for line in lines), rb"(?i)cutter 1, ")
    for cutter in range(1, CUTTERS + 1):
        begun = time.perf_counter()
        os.write(bare, BLOCK)
        os.fdatasync(bare)
        floors.append(time.perf_counter() - begun)
        length = f"9.{10 + cutter % 7}"
        answers.append(child.types(f"{turn} {cutter}\n", f"{turn} {cutter}\n".encode()))
        readings.append(talk.types(f"{length}\n", f"Cutter {cutter}: {length}".encode()))
    talk.child.kill()
child.child.kill()
floor, answer, reading = (statistics.median(times) * 1e6 for times in (floors, answers, readings))
print(f"a reading typed until it is acknowledged: {reading:.0f} us; the same bytes appended and synced: {floor:.0f} us, x {reading / floor:.2f};")
print(f"  by a bare program that hears of them and answers: {answer:.0f} us, x {reading / answer:.2f}")
