#!/usr/bin/env python3
"""Measures the window under software rendering: window.py PLUGWRIGHT PROJECT [--runs N] [--at X,Y] [--memory]

README.md beside it says what the numbers mean. `--at` is the place on the screen, in pixels of 1280x800, of the control point that is
dragged; without it that of a crown point of the demo (a drag that moves nothing is told).
"""

import argparse
import mmap
import os
import statistics
import struct
import subprocess
import sys
import tempfile
import time
from pathlib import Path

SIZE = (1280, 800)


def start_screen(folder):
    read, write = os.pipe()
    display = subprocess.Popen(
        ["Xvfb", "-displayfd", str(write), "-screen", "0", f"{SIZE[0]}x{SIZE[1]}x24", "-fbdir", folder, "-nolisten", "tcp",
         "-noreset", "+extension", "GLX"],
        pass_fds=[write], stdin=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    os.close(write)
    with os.fdopen(read) as numbers:
        return display, numbers.readline().strip()


class Screen:
    """The display's pixels, as Xvfb keeps them in a file."""

    def __init__(self, folder):
        with open(Path(folder) / "Xvfb_screen0", "rb") as file:
            self.map = mmap.mmap(file.fileno(), 0, prot=mmap.PROT_READ)
        head = struct.unpack(">25I", self.map[:100])
        self.start, self.line = head[0] + head[19] * 12, head[12]

    def row(self, y):
        at = self.start + y * self.line
        return self.map[at:at + 4 * SIZE[0]]

    def is_drawn(self):
        """Panels and floor are there: many rows with more than one colour in them."""
        rows = [self.row(y) for y in range(40, SIZE[1] - 40, 60)]
        return sum(len({row[i:i + 3] for i in range(0, len(row), 4)}) > 3 for row in rows) > len(rows) // 2


class Run:
    """The program on a display."""

    def __init__(self, plugwright, project, folder, environment):
        self.frames = Path(folder) / "frames.txt"
        self.environment = environment | {"PLUGWRIGHT_CLOCK": str(self.frames), "PLUGWRIGHT_STATE_DIR": str(Path(folder) / "state")}
        self.began = time.time()
        self.program = subprocess.Popen([plugwright, *project], env=self.environment, stdin=subprocess.DEVNULL,
                                        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)

    def tool(self, *arguments):
        return subprocess.run(["xdotool", *map(str, arguments)], env=self.environment, capture_output=True, text=True).stdout

    def until_drawn(self, screen):
        while not screen.is_drawn():
            if time.time() - self.began > 60:
                sys.exit("nothing was drawn")
            time.sleep(0.005)
        return time.time() - self.began

    def take_the_keys(self):
        window = self.tool("search", "--onlyvisible", "--pid", self.program.pid, "--name", ".").split()[0]
        self.tool("windowmove", window, 0, 0, "windowsize", window, *SIZE, "windowfocus", window)

    def clock(self):
        """Beginnings of frames in s and our own part in ms."""
        lines = [line.split() for line in self.frames.read_text().splitlines() if " " in line]
        return [(int(a) / 1e6, int(b) / 1e3) for a, b in lines]

    def cpu(self):
        fields = Path(f"/proc/{self.program.pid}/stat").read_text().rsplit(")", 1)[1].split()
        return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")

    def memory(self):
        status = Path(f"/proc/{self.program.pid}/status").read_text()
        return next(int(line.split()[1]) for line in status.splitlines() if line.startswith("VmRSS")) / 1024

    def settle(self, most=120):
        """Until no frame has been drawn for three seconds."""
        for _ in range(most):
            before = self.frames.stat().st_size
            time.sleep(3)
            if self.frames.stat().st_size == before:
                return
        print("it never came to rest", file=sys.stderr)

    def idle(self):
        before, frames = self.cpu(), len(self.clock())
        time.sleep(10)
        return 10 * (self.cpu() - before), len(self.clock()) - frames

    def drag(self, at, seconds=4.0):
        """Drags without a pause; frames of it as (length, own) in ms. The pointer's moves come faster than frames can."""
        x, y = at
        self.tool("mousemove", x, y)
        time.sleep(0.3)
        moves = ["mousedown", "1"]
        for k in range(int(seconds * 250)):
            turn = k % 80
            dy = turn if turn < 40 else 80 - turn
            moves += ["mousemove", str(x), str(y - 5 - dy // 2), "sleep", "0.003"]
        begun = time.time()
        self.tool(*moves)
        ended = time.time()
        self.tool("mouseup", 1)
        frames = [f for f in self.clock() if begun + 0.3 < f[0] < ended - 0.1]
        return [(1000 * (b[0] - a[0]), a[1]) for a, b in zip(frames, frames[1:])]

    def stop(self):
        self.program.kill()
        self.program.wait()


def p95(values):
    values = sorted(values)
    return values[min(len(values) - 1, int(0.95 * len(values)))]


def said(name, values, unit):
    print(f"{name:28} best {min(values):8.2f}  median {statistics.median(values):8.2f} {unit}   of {len(values)}", flush=True)


def with_screen(do):
    with tempfile.TemporaryDirectory() as folder:
        display, number = start_screen(folder)
        try:
            environment = {k: v for k, v in os.environ.items() if not k.startswith("WAYLAND")}
            do(Screen(folder), folder, environment | {"DISPLAY": f":{number}", "LIBGL_ALWAYS_SOFTWARE": "1"})
        finally:
            display.terminate()
            display.wait()


def speed(options):
    found = {name: [] for name in ["first", "own", "own p95", "frame", "frame p95", "idle", "idle frames"]}

    def one(screen, folder, environment):
        run = Run(options.plugwright, [options.project], folder, environment)
        try:
            found["first"].append(run.until_drawn(screen))
            run.take_the_keys()
            time.sleep(1)
            run.settle()
            used, frames = run.idle()
            found["idle"].append(used)
            found["idle frames"].append(frames)
            dragged = run.drag(options.at)
            if len(dragged) < 5:
                sys.exit(f"only {len(dragged)} frames while dragging: is there a control point at {options.at}?")
            found["frame"].append(statistics.median(f for f, _ in dragged))
            found["frame p95"].append(p95([f for f, _ in dragged]))
            found["own"].append(statistics.median(o for _, o in dragged))
            found["own p95"].append(p95([o for _, o in dragged]))
        finally:
            run.stop()

    for _ in range(options.runs):
        with_screen(one)
    said("first picture", found["first"], "s")
    for name in ["own", "own p95", "frame", "frame p95"]:
        said(f"drag, {name}", found[name], "ms")
    said("idle", found["idle"], "% of a core")
    said("idle, frames in 10 s", found["idle frames"], "")


def memory(options):
    """With three pictures of 24 megapixels, above an empty window."""
    used = {}

    def one(name, project):
        def run(screen, folder, environment):
            program = Run(options.plugwright, project, folder, environment)
            try:
                program.until_drawn(screen)
                program.take_the_keys()
                program.settle()
                used[name] = program.memory()
            finally:
                program.stop()
        return run

    with tempfile.TemporaryDirectory() as folder:
        for name, count in [("empty", 0), ("pictures", 3)]:
            project = str(empty_project(folder, count))
            # A project that is refused would cost nothing.
            if subprocess.run([options.plugwright, "check", project], stdout=subprocess.DEVNULL).returncode == 2:
                sys.exit("the project of pictures is refused: bring this script up to date")
            with_screen(one(name, [project]))
    print(f"memory: empty {used['empty']:.0f} MB, with three pictures {used['pictures']:.0f} MB, "
          f"{used['pictures'] - used['empty']:.0f} MB more")


def empty_project(folder, count):
    """A project of nothing but so many pictures of 6000 x 4000 pixels."""
    folder = Path(folder)
    (folder / "pictures").mkdir(exist_ok=True)
    entries = ""
    for k in range(count):
        file = folder / "pictures" / f"{k}.jpg"
        subprocess.run(["convert", "-size", "1500x1000", "-seed", str(k), "plasma:", "-resize", "6000x4000!", "-quality", "92", str(file)],
                       check=True)
        view = ["Side", "Face", "Plan"][k]
        entries += (f'(name: "{k}", file: "pictures/{k}.jpg", view: {view}, size_px: (6000, 4000), mm_per_px: 0.1, rotation_deg: 0.0, '
                    'offset: (0.0, 0.0), mirrored: false, opacity: 0.5, locked: true, hidden: false),')
    text = ('(format: "plugwright project", version: 1, name: "Empty", model_scale: 4.0, paper: (paper: A4, margin: 10.0, overlap: 10.0, measured: (100.0, 100.0)), '
            f'forms: [(name: "Form", lines: (crown: (points: []), keel: (points: []), breadth: (points: []), breadth_height: (points: [])), '
            f'sections: [], stations: [])], pictures: [{entries}])')
    project = folder / f"{count}.plug.ron"
    project.write_text(text)
    return project


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("plugwright", type=lambda p: str(Path(p).resolve()))
    parser.add_argument("project", type=lambda p: str(Path(p).resolve()))
    parser.add_argument("--runs", type=int, default=3)
    parser.add_argument("--at", type=lambda t: tuple(map(int, t.split(","))), default=(290, 120))
    parser.add_argument("--memory", action="store_true", help="memory only")
    options = parser.parse_args()
    memory(options) if options.memory else speed(options)


main()
