"""What the full screen costs beside an older program, turn by turn in one run, in a window of 200 by 60: the start until the first byte
and until the first screen is whole, and a key in a round of 36 cutters until the first byte of its answer. Prints the quarter, the median
and the ratio of the quarters (a shared machine makes the slower half of all times longer by chance), and the bytes sent while idle.

    face.py OLDER BINARY
"""

import fcntl
import os
import pty
import select
import shutil
import struct
import subprocess
import sys
import tempfile
import termios
import time

programs = sys.argv[1:]
STARTS, KEYS, LAPS = 40, 200, 4
INTAKE = (
    ["key n", "enter Twelve"]
    + ["enter"] * 3
    + ["enter 72"]
    + ["enter"] * 11
    + ["key Esc", "key Enter", "enter Ina"]
    + ["enter"] * 6
    + ["enter 1"] * 7
    + ["enter 0"]
)


class Screen:
    """A program in a window."""

    def __init__(self, program, data):
        self.begun = time.perf_counter()
        self.child, self.window = pty.fork()
        if self.child == 0:
            os.environ.clear()
            os.environ.update(TERM="xterm-256color", LANG="C.UTF-8", HOME="/tmp")
            os.execv(program, [program, "--data", data])
        fcntl.ioctl(self.window, termios.TIOCSWINSZ, struct.pack("HHHH", 60, 200, 0, 0))

    def waits(self, seconds=3.0):
        """True once a byte is there."""
        return bool(select.select([self.window], [], [], seconds)[0])

    def drains(self, seconds):
        """Bytes that come in that time."""
        end, count = time.perf_counter() + seconds, 0
        while self.waits(max(0.0, end - time.perf_counter())):
            count += len(os.read(self.window, 65536))
        return count

    def ends(self):
        os.kill(self.child, 9)
        os.waitpid(self.child, 0)
        os.close(self.window)


def started(program, data):
    screen = Screen(program, data)
    screen.waits()
    first, said = time.perf_counter() - screen.begun, b""
    # The end of the first synchronised update.
    while b"\x1b[?2026l" not in said and screen.waits():
        said += os.read(screen.window, 65536)
    whole = time.perf_counter() - screen.begun
    screen.drains(0.05)
    screen.ends()
    return first, whole


def keyed(program, data):
    screen, times = Screen(program, data), []
    screen.drains(0.8)
    for _ in range(2):
        os.write(screen.window, b"\r")
        screen.drains(0.3)
    for turn in range(KEYS):
        time.sleep(0.008)
        screen.drains(0)
        begun = time.perf_counter()
        os.write(screen.window, b"\x7f" if turn % 2 else b"8")
        screen.waits()
        times.append(time.perf_counter() - begun)
    screen.drains(0.5)
    idle = screen.drains(2)
    screen.ends()
    return times, idle


work = tempfile.mkdtemp()
script = os.path.join(work, "intake.rehearse")
with open(script, "w") as lines:
    lines.write("\n".join(INTAKE) + "\n")
folders = [os.path.join(work, str(at)) for at in range(len(programs))]
for program, folder in zip(programs, folders):
    subprocess.run([program, "--data", folder, "rehearse", script], stdout=subprocess.DEVNULL, check=True)
    started(program, folder)
starts, keys, idle = [[] for _ in programs], [[] for _ in programs], [0 for _ in programs]
for _ in range(STARTS):
    for at, program in enumerate(programs):
        starts[at].append(started(program, folders[at]))
for _ in range(LAPS):
    for at, program in enumerate(programs):
        times, sent = keyed(program, folders[at])
        keys[at].extend(times)
        idle[at] += sent
shutil.rmtree(work)
for what, of in [
    ("first byte", [[first for first, _ in times] for times in starts]),
    ("first screen", [[whole for _, whole in times] for times in starts]),
    ("key to byte", keys),
]:
    ordered = [sorted(times) for times in of]
    shown = [f"{times[len(times) // 4] * 1e3:.2f} ({times[len(times) // 2] * 1e3:.2f}) ms" for times in ordered]
    ratio = ordered[-1][len(ordered[-1]) // 4] / ordered[0][len(ordered[0]) // 4]
    print(f"{what}: {' and '.join(shown)}, x {ratio:.2f}")
print(f"bytes while idle: {' and '.join(map(str, idle))}")
