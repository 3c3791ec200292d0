#!/usr/bin/env python3
"""A project ten times as large as another one: ten_times.py PROJECT FOLDER

Of the first form ten times the control sections (nine more copies of each, a little further aft) and ten times the stations; of the
forms that are put on it, ten for one.
"""

import re
import sys
from pathlib import Path


def block(text, start, opening, closing):
    """End of the bracket that opens at `start`."""
    depth = 0
    for at in range(start, len(text)):
        depth += (text[at] == opening) - (text[at] == closing)
        if depth == 0:
            return at + 1
    raise ValueError("a bracket is not closed")


def items(listed):
    """The top items of a list's inside."""
    found, depth, begun = [], 0, 0
    for at, c in enumerate(listed):
        depth += (c in "([") - (c in ")]")
        if c == "," and depth == 0:
            found.append(listed[begun:at].strip())
            begun = at + 1
    return [item for item in [*found, listed[begun:].strip()] if item]


def part(text, key, opening, closing):
    """Where the inside of a key's value lies, first occurrence."""
    start = text.index(key) + len(key)
    start = text.index(opening, start - 1)
    return start + 1, block(text, start, opening, closing) - 1


def tenfold(form):
    a, b = part(form, "sections: [", "[", "]")
    sections = items(form[a:b])
    at = [float(re.search(r"station: (-?[\d.]+)", s)[1]) for s in sections]
    more = []
    for section, here, following in zip(sections, at, [*at[1:], None]):
        copies = 10 if following is not None else 1
        for k in range(copies):
            x = here + (0 if following is None else (following - here) * k / 10)
            more.append(re.sub(r"station: -?[\d.]+", f"station: {x:.3f}", section, count=1))
    form = form[:a] + ",\n".join(more) + form[b:]
    a, b = part(form, "stations: [", "[", "]")
    stations = [float(s) for s in items(form[a:b])]
    if stations:
        last = max(stations)
        stations = [stations[0] + (last - stations[0]) * k / (10 * len(stations) - 1) for k in range(10 * len(stations))]
    return form[:a] + ", ".join(f"{x:.4f}" for x in stations) + form[b:]


def main():
    source, folder = Path(sys.argv[1]), Path(sys.argv[2])
    text = source.read_text()
    a, b = part(text, "forms: [", "[", "]")
    first, *others = items(text[a:b])
    copies = []
    for other in others:
        for k in range(10):
            name = re.search(r'name: "([^"]*)"', other)[1]
            copies.append(other.replace(f'name: "{name}"', f'name: "{name} {k + 1}"', 1))
    folder.mkdir(parents=True, exist_ok=True)
    pictures = source.parent / "pictures"
    if pictures.is_dir() and not (folder / "pictures").exists():
        import shutil
        shutil.copytree(pictures, folder / "pictures")
    to = folder / "ten-times.plug.ron"
    to.write_text(text[:a] + "\n" + ",\n".join([tenfold(first), *copies]) + "\n" + text[b:])
    print(to)


main()
