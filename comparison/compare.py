#!/usr/bin/env python3
"""The same stations lofted by Plugwright and by a general-purpose geometry kernel (Python package cadquery-ocp).

Bodies whose sections are known in closed form are given to both as points on half sections. Each lofts them, then tells volume,
lateral surface and the areas of twelve sections between the stations. Errors are against the closed forms, times are of that work
alone, best and median of some rounds, on one machine in one run. See README.md.
"""

import json
import math
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from OCP.BRepAlgoAPI import BRepAlgoAPI_Section
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakeWire
from OCP.BRepGProp import BRepGProp
from OCP.BRepOffsetAPI import BRepOffsetAPI_ThruSections
from OCP.GeomAPI import GeomAPI_Interpolate
from OCP.gp import gp_Dir, gp_Pln, gp_Pnt
from OCP.GProp import GProp_GProps
from OCP.ShapeAnalysis import ShapeAnalysis_FreeBounds
from OCP.collections import HArray1_gp_Pnt, HSequence_TopoDS_Shape
from OCP.TopAbs import TopAbs_EDGE, TopAbs_FACE
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS

ROOT = Path(__file__).resolve().parent.parent
STATIONS = 13
HALF_POINTS = 25  # on each half section
SECTIONS = 12
ROUNDS_KERNEL = 5
ROUNDS_OURS = 200
LENGTH = 300.0

# Half-breadth and half-height of elliptic sections along x: smooth functions that neither side's curves hold exactly, and a taper that
# both do.
BODIES = {
    "cowl": (lambda x: 40 + 45 * math.sin(math.pi * x / 600), lambda x: 35 + 55 * math.sin(math.pi * (x + 60) / 720)),
    "waisted": (lambda x: 60 + 12 * math.cos(math.pi * x / 150), lambda x: 55 + 8 * math.sin(math.pi * x / 200)),
    "tapered": (lambda x: 80 - 40 * x / LENGTH, lambda x: 60 - 20 * x / LENGTH),
}


def gauss(f, low, high, pieces=64):
    """Integral by Gauss's rule of five places in each of so many pieces."""
    nodes = [0.0, 0.5384693101056831, 0.9061798459386640]
    weights = [0.5688888888888889, 0.4786286704993665, 0.2369268850561891]
    total, step = 0.0, (high - low) / pieces
    for i in range(pieces):
        middle, half = low + (i + 0.5) * step, 0.5 * step
        total += half * weights[0] * f(middle)
        for node, weight in zip(nodes[1:], weights[1:]):
            total += half * weight * (f(middle - half * node) + f(middle + half * node))
    return total


def truth(body):
    """Volume, lateral surface and section areas of the closed form."""
    b, h = body
    slope = lambda f, x: (f(x + 1e-4) - f(x - 1e-4)) / 2e-4

    def strip(x):
        bx, hx, db, dh = b(x), h(x), slope(b, x), slope(h, x)

        # |S_x x S_t| of (x, b cos t, h sin t).
        def element(t):
            c, s = math.cos(t), math.sin(t)
            return math.sqrt((bx * s) ** 2 + (hx * c) ** 2 + (db * c * hx * c + dh * s * bx * s) ** 2)

        return 4 * gauss(element, 0, math.pi / 2, 12)

    areas = [math.pi * b(x) * h(x) for x in section_stations()]
    return gauss(lambda x: math.pi * b(x) * h(x), 0, LENGTH), gauss(strip, 0, LENGTH, 48), areas


def section_stations():
    return [LENGTH * (n + 0.5) / SECTIONS for n in range(SECTIONS)]


def half_section(body, x):
    """Points from crown to keel on one half."""
    b, h = body[0](x), body[1](x)
    turns = [math.pi * i / (HALF_POINTS - 1) for i in range(HALF_POINTS)]
    points = [(b * math.sin(t), h * math.cos(t)) for t in turns]
    return [(0.0, h)] + points[1:-1] + [(0.0, -h)]


def stations():
    return [LENGTH * i / (STATIONS - 1) for i in range(STATIONS)]


def ours(body):
    """Plugwright, by its timing example."""
    rows = ["station_mm,half_breadth_mm,height_mm"]
    rows += [f"{x!r},{y!r},{z!r}" for x in stations() for y, z in half_section(body, x)]
    with tempfile.NamedTemporaryFile("w", suffix=".csv") as table:
        table.write("\n".join(rows) + "\n")
        table.flush()
        command = ["cargo", "run", "-q", "--release", "--locked", "-p", "plugwright-desk", "--example", "timed_measures", "--"]
        said = subprocess.run(command + [table.name, str(ROUNDS_OURS)], cwd=ROOT, check=True, capture_output=True, text=True)
    told = json.loads(said.stdout)
    return told["best_s"], told["median_s"], told["volume"], told["surface"], [s[1] for s in told["sections"]]


def wire(body, x):
    """A closed curve through both halves of a section."""
    half = half_section(body, x)
    whole = half + [(-y, z) for y, z in reversed(half[1:-1])]
    points = HArray1_gp_Pnt(1, len(whole))
    for i, (y, z) in enumerate(whole):
        points.SetValue(i + 1, gp_Pnt(x, y, z))
    curve = GeomAPI_Interpolate(points, True, 1e-9)
    curve.Perform()
    return BRepBuilderAPI_MakeWire(BRepBuilderAPI_MakeEdge(curve.Curve()).Edge()).Wire()


def area_of(shape):
    properties = GProp_GProps()
    BRepGProp.SurfaceProperties_s(shape, properties)
    return properties.Mass()


def kernel_once(body):
    loft = BRepOffsetAPI_ThruSections(True, False, 1e-6)
    for x in stations():
        loft.AddWire(wire(body, x))
    loft.CheckCompatibility(False)
    loft.Build()
    solid = loft.Shape()
    properties = GProp_GProps()
    BRepGProp.VolumeProperties_s(solid, properties)
    lateral, faces = 0.0, TopExp_Explorer(solid, TopAbs_FACE)
    while faces.More():
        face = TopoDS.Face(faces.Current())
        middle = GProp_GProps()
        BRepGProp.SurfaceProperties_s(face, middle)
        at = middle.CentreOfMass().X()
        if 1.0 < at < LENGTH - 1.0:
            lateral += middle.Mass()
        faces.Next()
    areas = []
    for x in section_stations():
        cut = BRepAlgoAPI_Section(solid, gp_Pln(gp_Pnt(x, 0, 0), gp_Dir(1, 0, 0)), False)
        # As curves, not as polygons: thirty times nearer, in the same time.
        cut.Approximation(True)
        cut.Build()
        edges, explorer = HSequence_TopoDS_Shape(), TopExp_Explorer(cut.Shape(), TopAbs_EDGE)
        while explorer.More():
            edges.Append(explorer.Current())
            explorer.Next()
        wires = HSequence_TopoDS_Shape()
        ShapeAnalysis_FreeBounds.ConnectEdgesToWires_s(edges, 1e-4, False, wires)
        areas.append(abs(area_of(BRepBuilderAPI_MakeFace(TopoDS.Wire(wires.Value(1))).Face())))
    return abs(properties.Mass()), lateral, areas


def kernel(body):
    times = []
    for _ in range(ROUNDS_KERNEL):
        begun = time.perf_counter()
        volume, surface, areas = kernel_once(body)
        times.append(time.perf_counter() - begun)
    return min(times), statistics.median(times), volume, surface, areas


def errors(found, known):
    volume, surface, areas = found
    return (
        abs(volume / known[0] - 1),
        abs(surface / known[1] - 1),
        max(abs(a / k - 1) for a, k in zip(areas, known[2])),
    )


def main():
    print("body      who         best ms   median ms   volume     surface    sections   (greatest relative errors)")
    fine = True
    for name, body in BODIES.items():
        known = truth(body)
        rows = {"ours": ours(body), "kernel": kernel(body)}
        for who, (best, median, *found) in rows.items():
            e = errors(found, known)
            print(f"{name:9} {who:9} {1e3 * best:9.3f}   {1e3 * median:9.3f}   {e[0]:.2e}   {e[1]:.2e}   {e[2]:.2e}")
        ratio = rows["kernel"][1] / rows["ours"][1]
        worse = [a > b + 1e-9 for a, b in zip(errors(rows["ours"][2:], known), errors(rows["kernel"][2:], known))]
        print(f"{name:9} {ratio:.0f} times as fast; error {'larger in something' if any(worse) else 'equal or smaller'}")
        fine &= ratio >= 200 and not any(worse)
    return 0 if fine else 1


if __name__ == "__main__":
    sys.exit(main())
