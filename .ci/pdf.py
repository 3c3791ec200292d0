#!/usr/bin/env python3
"""Templates on paper, as poppler and qpdf see them: pdf.py PLUGWRIGHT PROJECT WORK_FOLDER

Writes the project's templates on several papers and holds every page against what the program measures of the form: boxes
to 0.01 pt; both 100 mm lines and every undivided former to 0.1 mm, on a raster of 600 dots an inch. Prints one line a
check, `ok:` or `FAILED:`. Needs nothing but Python's own library, poppler-utils and qpdf.
"""

import json
import re
import shutil
import subprocess
import sys
from pathlib import Path

DPI = 600
MM = 25.4 / DPI  # one dot
CLOSE = 0.1  # mm, what is asked of a length on paper
PEN = 0.25  # mm, the pen of a cut line; an outline is its middle
INK = rb"[\x00-\x7f]+"  # a run of dots that are more dark than light
LABEL = "100 mm: print at 100 %, measure both lines"
PAPERS = {"a4": (210, 297), "a3": (297, 420), "letter": (215.9, 279.4), "one-sheet": None}


def check(name, good, detail=""):
    print(f"{'ok' if good else 'FAILED'}: {name}{': ' + detail if detail else ''}", flush=True)


def run(*command):
    return subprocess.run([str(c) for c in command], check=True, stdin=subprocess.DEVNULL, capture_output=True).stdout


class Raster:
    """A page in grey, 0 is ink."""

    def __init__(self, pdf, page, folder):
        stem = folder / "page"
        run("pdftoppm", "-r", DPI, "-gray", "-singlefile", "-f", page, "-l", page, pdf, stem)
        data = stem.with_suffix(".pgm").read_bytes()
        head = re.match(rb"P5\s+(\d+)\s+(\d+)\s+255\s", data)
        self.width, self.height, self.dots = int(head[1]), int(head[2]), data[head.end():]

    def row(self, y):
        return self.dots[y * self.width:(y + 1) * self.width]

    def column(self, x):
        return self.dots[x::self.width]


def long_run(line):
    """The longest run of ink in a row or column, in dots."""
    return max((m.end() - m.start() for m in re.finditer(INK, line)), default=0)


def measured_lines(raster):
    """Lengths of the outermost long lines at the foot and at the left edge, mm: where the measured lines stand."""
    long = 70 / MM
    band = int(30 / MM)
    across = (long_run(raster.row(y)) for y in range(raster.height - 1, raster.height - band, -1))
    up = (long_run(raster.column(x)) for x in range(band))
    found = []
    for lengths in (across, up):
        # A pen is several dots wide: the first line of dots that is long, and those that follow it at once.
        best = 0
        for length in lengths:
            if length > long:
                best = max(best, length)
            elif best:
                break
        found.append(best * MM)
    return found


class Islands:
    """Connected patches of ink, each with its box [left, top, right, bottom] in dots; joined as rows go by."""

    def __init__(self):
        self.parent, self.box = [], []

    def new(self, box):
        self.parent.append(len(self.parent))
        self.box.append(box)
        return len(self.parent) - 1

    def root(self, i):
        while self.parent[i] != i:
            self.parent[i] = self.parent[self.parent[i]]
            i = self.parent[i]
        return i

    def join(self, i, j):
        i, j = self.root(i), self.root(j)
        if i != j:
            a, b = self.box[i], self.box[j]
            self.parent[j] = i
            self.box[i] = [min(a[0], b[0]), min(a[1], b[1]), max(a[2], b[2]), max(a[3], b[3])]
        return i

    def boxes(self):
        return [box for i, box in enumerate(self.box) if self.parent[i] == i]


def patches(raster):
    """Width and height of every connected patch of ink, mm, from the middle of the pen to the middle of the pen."""
    islands, above = Islands(), []
    for y in range(raster.height):
        runs, k = [], 0
        for m in re.finditer(INK, raster.row(y)):
            low, high = m.start(), m.end()
            own = islands.new([low, y, high, y + 1])
            # Runs of the row above that touch this one, corners included.
            while k < len(above) and above[k][1] < low:
                k += 1
            j = k
            while j < len(above) and above[j][0] <= high:
                own = islands.join(above[j][2], own)
                j += 1
            runs.append((low, high, own))
        above = runs
    return [[(b[2] - b[0]) * MM - PEN, (b[3] - b[1]) * MM - PEN] for b in islands.boxes()]


def boxes(pdf, pages):
    """The media box of every page, pt."""
    text = run("pdfinfo", "-box", "-f", 1, "-l", pages, pdf).decode()
    return [[float(v) for v in m.split()] for m in re.findall(r"Page\s+\d+ MediaBox:(.*)", text)]


def check_file(name, pdf, pages, paper):
    valid = subprocess.run(["qpdf", "--check", pdf], stdin=subprocess.DEVNULL, capture_output=True, text=True)
    check(f"{name}: qpdf finds nothing wrong", valid.returncode == 0, "" if valid.returncode == 0 else valid.stdout + valid.stderr)
    shown = run("qpdf", "--qdf", "--object-streams=disable", pdf, "-")
    check(f"{name}: asks viewers not to scale", re.search(rb"/ViewerPreferences\s*<<[^>]*/PrintScaling\s*/None", shown))
    claims = [c for c in (rb"pdfaid", rb"GTS_PDF", rb"/OutputIntents") if c in shown]
    check(f"{name}: claims no PDF standard", not claims)
    fonts = run("pdffonts", pdf).decode().splitlines()
    columns = [(fonts[0].index(c), len(c)) for c in ("emb", "sub", "uni")]
    good = len(fonts) > 2 and all(f[at:at + n].strip() == "yes" for f in fonts[2:] for at, n in columns)
    check(f"{name}: every font is embedded, a subset, and maps back to characters", good, f"{len(fonts) - 2} fonts")
    found = boxes(pdf, pages)
    same = len(found) == pages and all(b[:2] == [0, 0] for b in found)
    if paper:
        # pdfinfo rounds to two places itself.
        want = [side * 72 / 25.4 for side in paper]
        same = same and all(abs(b[2 + a] - want[a]) <= 0.01 for b in found for a in (0, 1))
    check(f"{name}: {pages} page boxes within 0.01 pt", same)


def check_lengths(name, pdf, pages, formers, measured, folder):
    """Lines and formers on every page; on a printer that prints 100 mm as `measured`, both come out true."""
    k = [100 / m for m in measured]
    worst_line, seen, whole, split = 0.0, [], set(formers), set()
    labels = []
    for page in range(1, pages + 1):
        words = " ".join(run("pdftotext", "-f", page, "-l", page, pdf, "-").decode().split())
        labels.append(words.count(LABEL))
        split |= {int(n) for n in re.findall(r"Former (\d+) \(\d+/\d+\)", words)}
        raster = Raster(pdf, page, folder)
        lines = [length / k[a] for a, length in enumerate(measured_lines(raster))]
        worst_line = max([worst_line] + [abs(length - 100) for length in lines])
        seen += [[w / k[0], h / k[1]] for w, h in patches(raster)]
    whole -= split
    check(f"{name}: each page says how to print, at both lines", labels == [2] * pages)
    check(f"{name}: both lines on {pages} pages are 100 mm", worst_line <= CLOSE, f"within {worst_line:.3f} mm")
    check(f"{name}: formers in one piece to measure", len(whole) > 0, f"{len(whole)} of {len(formers)}")
    errors = {}
    for number in whole:
        breadth, height = formers[number]
        errors[number] = min(
            (max(abs(a - breadth), abs(b - height)) for size in seen for a, b in (size, size[::-1])),
            default=float("inf"),
        )
    worst = max(errors.values(), default=float("inf"))
    far = [n for n in errors if errors[n] > CLOSE]
    detail = f"within {worst:.3f} mm" + (f"; not formers {far}" if far else "")
    check(f"{name}: formers are as broad and as high as measured", worst <= CLOSE, detail)


def measure(plugwright, project):
    """Breadth and height of every former by its number, from the form itself."""
    report = json.loads(run(plugwright, "measure", project, "--json"))
    return {
        n: (2 * s["half_breadth_mm"], s["top_mm"] - s["bottom_mm"]) for n, s in enumerate(report["stations"], start=1)
    }


def sheets(plugwright, project, paper, folder):
    pdf = folder / f"{project.name}-{paper}.pdf"
    report = json.loads(run(plugwright, "sheets", project, "--to", pdf, "--paper", paper, "--json"))
    return pdf, report["pages"] + report["overview_pages"]


def corrected(project, measured, folder):
    """A copy of the project that was told what its printer makes of 100 mm."""
    copy = folder / "corrected"
    shutil.copytree(project, copy)
    file = next(copy.glob("*.plug.ron"))
    text, changes = re.subn(r"measured: \([^)]*\)", "measured: ({}, {})".format(*measured), file.read_text())
    if changes != 1:
        raise SystemExit("the demo does not say what its printer measured")
    file.write_text(text)
    return copy


def main():
    plugwright, project, folder = (Path(a).resolve() for a in sys.argv[1:4])
    formers = measure(plugwright, project)
    for paper, size in PAPERS.items():
        pdf, pages = sheets(plugwright, project, paper, folder)
        check_file(paper, pdf, pages, size)
        check_lengths(paper, pdf, pages, formers, (100.0, 100.0), folder)
    measured = (99.0, 100.5)
    pdf, pages = sheets(plugwright, corrected(project, measured, folder), "a4", folder)
    name = "a4, corrected"
    check_file(name, pdf, pages, PAPERS["a4"])
    check_lengths(name, pdf, pages, formers, measured, folder)


main()
