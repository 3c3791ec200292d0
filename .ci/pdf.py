#!/usr/bin/env python3
"""Templates on paper, as poppler and qpdf see them: pdf.py PLUGWRIGHT PROJECT WORK_FOLDER

Writes the project's templates on several papers, without its stack and as it is, and holds every page against what the
program measures of the form and plans of the plug: boxes to 0.01 pt; both 100 mm lines and every undivided former to
0.1 mm, on a raster of 600 dots an inch. The plug's formers must besides be smaller than the finished form by what the
project's file says of laminate and inset. Formers through which ducts pass are held, as the program tells their outlines,
against whole ones less the ducts and against the ducts' walls in the mesh of the skin. Prints one line a check, `ok:` or `FAILED:`. Needs nothing but Python's own
library, poppler-utils and qpdf.
"""

import json
import re
import shutil
import struct
import subprocess
import sys
from pathlib import Path

DPI = 600
MM = 25.4 / DPI  # one dot
CLOSE = 0.1  # mm, what is asked of a length on paper
PEN = 0.25  # mm, the pen of a cut line; an outline is its middle
HALF = 20  # mm, shorter patches are no half of a former
CUT_AWAY = 0.1  # mm, what a slot or the gap between halves takes of a rounded former's height at the centre plane
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
    """Left, top, right and bottom of every connected patch of ink, mm, in the middle of its pen."""
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
    half = PEN / 2
    return [[b[0] * MM + half, b[1] * MM + half, b[2] * MM - half, b[3] * MM - half] for b in islands.boxes()]


def size(box):
    return [box[2] - box[0], box[3] - box[1]]


def pairs(boxes):
    """The boxes around each two patches: two halves of a former, whether or not a mark joins them."""
    large = [b for b in boxes if max(size(b)) > HALF]
    return [
        [min(a[0], b[0]), min(a[1], b[1]), max(a[2], b[2]), max(a[3], b[3])]
        for i, a in enumerate(large) for b in large[:i]
    ]


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
    """Lines and formers on every page; on a printer that prints 100 mm as `measured`, both come out true.

    Of every former its breadth, height and whether it is in halves. Returns breadth and height as printed of every former
    that no page edge divides.
    """
    k = [100 / m for m in measured]
    worst_line, seen, in_pairs, split = 0.0, [], [], set()
    labels = []
    for page in range(1, pages + 1):
        words = " ".join(run("pdftotext", "-f", page, "-l", page, pdf, "-").decode().split())
        labels.append(words.count(LABEL))
        split |= {int(n) for n in re.findall(r"Former (\d+) \(\d+/\d+\)", words)}
        raster = Raster(pdf, page, folder)
        lines = [length / k[a] for a, length in enumerate(measured_lines(raster))]
        worst_line = max([worst_line] + [abs(length - 100) for length in lines])
        found = patches(raster)
        seen += [[w / k[0], h / k[1]] for w, h in map(size, found)]
        in_pairs += [[w / k[0], h / k[1]] for w, h in map(size, pairs(found))]
    whole = sorted(set(formers) - split)
    check(f"{name}: each page says how to print, at both lines", labels == [2] * pages)
    check(f"{name}: both lines on {pages} pages are 100 mm", worst_line <= CLOSE, f"within {worst_line:.3f} mm")
    check(f"{name}: formers in one piece to measure", len(whole) > 0, f"{len(whole)} of {len(formers)}")
    nearest = {}
    for n in whole:
        breadth, height, in_halves = formers[n]
        nearest[n] = matched(breadth, height, seen + in_pairs if in_halves else seen)
    worst = max((error for error, _ in nearest.values()), default=float("inf"))
    far = [n for n in whole if nearest[n][0] > CLOSE]
    detail = f"within {worst:.3f} mm" + (f"; not formers {far}" if far else "")
    check(f"{name}: formers are as broad and as high as measured", worst <= CLOSE, detail)
    return {n: found for n, (error, found) in nearest.items() if error <= CLOSE}


def matched(breadth, height, seen):
    """What was seen, turned or not, that is next in size: the greater difference, and the size."""
    turned = [s for patch in seen for s in (patch, patch[::-1])]
    error = lambda s: max(abs(s[0] - breadth), abs(s[1] - height))
    near = min(turned, key=error)
    return error(near), near


def measure(plugwright, project):
    """Breadth, height and whether it is in halves, of every former by its number: from the finished form itself."""
    report = json.loads(run(plugwright, "measure", project, "--json"))
    sizes = ((2 * s["half_breadth_mm"], s["top_mm"] - s["bottom_mm"], False) for s in report["stations"])
    return dict(enumerate(sizes, start=1))


def stack(plugwright, project):
    """The plug's formers, and the same of each as `measure` gives: as it is planned and cut."""
    formers = json.loads(run(plugwright, "stack", project, "--json"))["formers"]
    sizes = {}
    for f in formers:
        boxes = f["pieces_mm"]
        whole = [max(high[a] for _, high in boxes) - min(low[a] for low, _ in boxes) for a in (0, 1)]
        sizes[f["number"]] = (*whole, f["in_halves"])
    return formers, sizes


def number(project, name):
    """A length of the project's own, from its file."""
    return float(re.search(rf"\b{name}: ([0-9.]+)", project_file(project).read_text())[1])


LINES = (("half_breadth_mm", 1), ("top_mm", 1), ("bottom_mm", -1))


def check_inside(name, plugwright, project, formers, printed):
    """Every former is smaller than the finished form by laminate, filler, paint and inset, whatever the plug is planned by.

    These come off along the normal of the surface, so where a line slopes by `s` along the form, a section loses between
    `off` and `off` times the root of 1 + s² there.
    """
    off = sum(number(project, n) for n in ("laminate", "filler", "paint", "inset"))
    rear_end = max(f["rear_mm"] for f in formers)
    wrong, least, most = [], float("inf"), 0.0
    for f in (f for f in formers if f["number"] in printed):
        at = [f["front_mm"] - 1, f["front_mm"], f["rear_mm"], min(f["rear_mm"] + 1, rear_end)]
        options = [o for x in at for o in ("--at", f"{x:.6f}")]
        sections = json.loads(run(plugwright, "measure", project, "--json", *options))["stations"]
        lines = [[sign * s[what] for s in sections] for what, sign in LINES]
        stays = [min(line[1:3]) for line in lines]
        root = [max(slopes(at, line)) for line in lines]
        breadth, height = printed[f["number"]]
        for length, finished, loss in (
            (breadth, 2 * stays[0], 2 * root[0]),
            (height, stays[1] + stays[2], root[1] + root[2]),
        ):
            taken = finished - length
            least, most = min(least, taken), max(most, taken)
            if not 2 * off - CLOSE <= taken <= loss * off + CLOSE + CUT_AWAY:
                wrong.append((f["number"], round(taken, 3)))
    detail = f"by {least:.2f} to {most:.2f} mm, {off:.2f} mm and more on every side" + (f"; not {wrong}" if wrong else "")
    check(f"{name}: {len(printed)} formers are that much smaller than the finished form", printed and not wrong, detail)


def slopes(at, line):
    """How much longer than wide a layer of paint is when cut across, between each two stations."""
    return [
        (1 + ((b - a) / (y - x)) ** 2) ** 0.5 for x, y, a, b in zip(at, at[1:], line, line[1:]) if y - x > 1e-6
    ]


class Outlines:
    """Closed polylines of a flat region, outer contours and holes alike: what is inside lies within an odd number of them."""

    def __init__(self, pieces):
        self.sides = [
            (a, b) for contours in pieces for ring in contours for a, b in zip(ring, ring[1:] + ring[:1]) if a != b
        ]

    def at(self, z):
        """Where a level line is inside: the ends of its stretches, rising."""
        ends = sorted(
            a[0] + (z - a[1]) / (b[1] - a[1]) * (b[0] - a[0]) for a, b in self.sides if (a[1] > z) != (b[1] > z)
        )
        return list(zip(ends[::2], ends[1::2]))

    def holds(self, p):
        return any(low < p[0] < high for low, high in self.at(p[1]))

    def distance(self, p):
        """How far a point is from the nearest side."""
        near = float("inf")
        for a, b in self.sides:
            d, e = (b[0] - a[0], b[1] - a[1]), (p[0] - a[0], p[1] - a[1])
            t = min(max((d[0] * e[0] + d[1] * e[1]) / (d[0] ** 2 + d[1] ** 2), 0), 1)
            near = min(near, ((e[0] - t * d[0]) ** 2 + (e[1] - t * d[1]) ** 2) ** 0.5)
        return near


def without(spans, taken):
    """Stretches less other ones."""
    for low, high in taken:
        spans = [s for a, b in spans for s in ((a, min(b, low)), (max(a, high), b)) if s[1] > s[0]]
    return spans


def triangles(stl):
    """Corners of every triangle of a binary STL."""
    data = stl.read_bytes()
    count = struct.unpack_from("<I", data, 80)[0]
    for i in range(count):
        v = struct.unpack_from("<9f", data, 84 + 50 * i + 12)
        yield v[:3], v[3:6], v[6:]


def cut(mesh, x):
    """Middles of the pieces of line, each with its two ends, in which a cross plane cuts a mesh: (y, z)."""
    for corners in mesh:
        ahead = [c[0] < x for c in corners]
        if any(ahead) and not all(ahead):
            ends = []
            for i in range(3):
                a, b = corners[i], corners[(i + 1) % 3]
                if ahead[i] != ahead[(i + 1) % 3]:
                    t = (x - a[0]) / (b[0] - a[0])
                    ends.append((a[1] + t * (b[1] - a[1]), a[2] + t * (b[2] - a[2])))
            yield ((ends[0][0] + ends[1][0]) / 2, (ends[0][1] + ends[1][1]) / 2)


STEP = 0.1  # mm, level lines by which outlines are compared
SLOW = 1.25  # a wall is cut slantwise: so much thicker than square to itself at most


def check_ducts(plugwright, project, whole, folder):
    """Formers through which ducts pass: each is the whole former of the plug without openings less what its ducts take, by our own
    difference along level lines; its box is that of what is left; and the ducts take what the walls in the mesh of the skin need,
    on both faces of the card, with their thickness and no more."""
    off = sum(number(project, n) for n in ("laminate", "filler", "paint", "inset"))
    wall = number(project, "wall")
    skin = folder / "skin.stl"
    run(plugwright, "mesh", project, "--to", skin, "--kind", "skin", "--tolerance", 0.02)
    mesh = list(triangles(skin))
    before = {f["number"]: f for f in stack(plugwright, whole)[0]}
    passed = [f for f in stack(plugwright, project)[0] if f["ducts"]]
    same, boxes_off, clear, reached, bites = 0.0, 0.0, [], [], 0
    for f in passed:
        plain, left = Outlines(before[f["number"]]["outlines_mm"]), Outlines(f["outlines_mm"])
        ducts = [Outlines(d["outlines_mm"]) for d in f["ducts"]]
        boxes = before[f["number"]]["pieces_mm"]
        low, high = min(b[0][1] for b in boxes), max(b[1][1] for b in boxes)
        levels = [low + STEP * (i + 0.5) for i in range(int((high - low) / STEP))]
        rows = []
        for z in levels:
            spans = plain.at(z)
            for duct in ducts:
                spans = without(spans, duct.at(z))
            rows.append(spans)
            got = left.at(z)
            same = max(same, abs(sum(b - a for a, b in spans) - sum(b - a for a, b in got)))
        ends = [e for row in rows for s in row for e in s]
        own = f["pieces_mm"]
        sides = [min(b[0][0] for b in own), max(b[1][0] for b in own)]
        boxes_off = max(boxes_off, abs(min(ends) - sides[0]), abs(max(ends) - sides[1]))
        bites += sides[1] < max(b[1][0] for b in boxes) - CLOSE
        faces = 0
        for x in (f["front_mm"], f["rear_mm"]):
            lining = [p for p in cut(mesh, x) if plain.holds(p) and plain.distance(p) > off]
            gaps = [left.distance(p) for p in lining if not left.holds(p)]
            # A duct may end within the card.
            if lining:
                clear.append((len(lining) - len(gaps), min(gaps, default=0)))
                faces += 1
        reached.append(faces > 0)
    check("ducts: formers that they pass, and some whose edge they take", passed and bites, f"{len(passed)}, {bites} at the edge")
    check("ducts: these formers are whole ones less the ducts", passed and same <= CLOSE, f"within {same:.3f} mm on any level line")
    check("ducts: these formers are as broad as what is left of them", passed and boxes_off <= CLOSE, f"within {boxes_off:.3f} mm")
    near = [c for _, c in clear]
    good = all(lost == 0 and wall - CLOSE <= c <= SLOW * wall + CLOSE for lost, c in clear)
    check("ducts: the walls stand free of the card by their thickness", all(reached) and near and good, f"{min(near):.2f} to {max(near):.2f} mm, wall {wall} mm")


def sheets(plugwright, project, paper, folder):
    pdf = folder / f"{project.name}-{paper}.pdf"
    report = json.loads(run(plugwright, "sheets", project, "--to", pdf, "--paper", paper, "--json"))
    return pdf, report["pages"] + report["overview_pages"]


def project_file(project):
    return next(project.glob("*.plug.ron"))


def altered(project, name, folder, pattern, to):
    """A copy of the project with one thing in its file told otherwise."""
    copy = folder / name
    shutil.copytree(project, copy)
    file = project_file(copy)
    text, changes = re.subn(pattern, to, file.read_text())
    if changes != 1:
        raise SystemExit(f"the demo's file holds {changes} times what {name} changes: {pattern}")
    file.write_text(text)
    return copy


def corrected(project, measured, folder):
    """A copy of the project that was told what its printer makes of 100 mm."""
    to = "measured: ({}, {})".format(*measured)
    return altered(project, f"{project.name}-corrected", folder, r"\bmeasured: \([^)]*\)", to)


def check_book(plugwright, project, folder):
    """The build book, which is not to scale: a whole file on the project's paper, and the pages that the answer told."""
    pdf = folder / "book.pdf"
    told = re.search(r"(\d+) pages", run(plugwright, "book", project, "--to", pdf).decode())
    check_file("book", pdf, int(told[1]), PAPERS["a4"])


def check_papers(name, plugwright, project, formers, folder, then=lambda name, printed: None):
    """All papers, and a printer that does not print true. `then` is told what was found on each."""
    for paper, size in PAPERS.items():
        pdf, pages = sheets(plugwright, project, paper, folder)
        check_file(f"{name}, {paper}", pdf, pages, size)
        then(f"{name}, {paper}", check_lengths(f"{name}, {paper}", pdf, pages, formers, (100.0, 100.0), folder))
    measured = (99.0, 100.5)
    pdf, pages = sheets(plugwright, corrected(project, measured, folder), "a4", folder)
    name = f"{name}, a4, corrected"
    check_file(name, pdf, pages, PAPERS["a4"])
    then(name, check_lengths(name, pdf, pages, formers, measured, folder))


def main():
    plugwright, whole, folder = (Path(a).resolve() for a in sys.argv[1:4])
    # On paper whole cards of the first form are measured: those of the form that is added to it have the same numbers, and ducts cut
    # into edges, beyond which lines go on. What is taken off the plug stays as the file says.
    project = altered(whole, "first-form", folder, r'(?s) {8}\(\n {12}name: "Exhaust cover",.*?\n {8}\),\n', "")
    with_ducts = altered(project, "by-hand", folder, r"(?s)\n {4}shell: \(.*?\n {4}\),", "")
    project = altered(with_ducts, "whole-cards", folder, r"(?s) {12}openings: \[.*?\n {12}\],\n", "")
    # Without a stack the templates are the finished form's own sections.
    plain = altered(project, "stackless", folder, r"\bused: true", "used: false")
    check_papers("form", plugwright, plain, measure(plugwright, plain), folder)
    formers, sizes = stack(plugwright, project)
    check("plug: both whole formers and such in halves are there to measure", {s[2] for s in sizes.values()} == {False, True})
    smaller = lambda name, printed: check_inside(name, plugwright, project, formers, printed)
    check_papers("plug", plugwright, project, sizes, folder, smaller)
    check_ducts(plugwright, with_ducts, project, folder)
    check_book(plugwright, whole, folder)


main()
