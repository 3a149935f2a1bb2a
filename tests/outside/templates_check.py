"""Measures printed templates and machine files with libraries that know nothing of bagwright.

Usage: templates_check.py FOLDER..., each written by `bagwright make` for every part, with a second
file of templates, `templates-all.pdf`, on which rectangles are drawn, too.

The templates are measured in the PDF by PyMuPDF: the test squares, the size of every page, and each
piece put together from its sheets. DXF files are read and audited by ezdxf.
"""

import json
import pathlib
import re
import sys

import ezdxf
import pymupdf

MM_PER_PT = 25.4 / 72
NEAR_MM = 0.1
EXACT_MM = 0.01
# How near curves run in packet.json (docs/packet-json.md), and what rounding adds.
CURVES_MM = 0.06
# What the sheets say of themselves: white margin and overlap, in mm.
MARGIN, OVERLAP = 10.0, 10.0
CUT_WIDTH = 0.5
FOOT = re.compile(r"sheet (\d+) – (.+) – row (\d+) of (\d+), column (\d+) of (\d+)")


class Checks:
    """Counts what holds, and keeps what does not."""

    def __init__(self):
        self.passed = 0
        self.faults = []

    def that(self, holds, message):
        if holds:
            self.passed += 1
        else:
            self.faults.append(message)


def points_of(path):
    """All points of a drawn path, in mm from the page's upper left corner."""
    for item in path["items"]:
        if item[0] == "re":
            rect = item[1]
            corners = [(rect.x0, rect.y0), (rect.x1, rect.y1)]
        elif item[0] == "qu":
            corners = [(p.x, p.y) for p in item[1]]
        else:
            corners = [(p.x, p.y) for p in item[1:] if hasattr(p, "x")]
        for x, y in corners:
            yield x * MM_PER_PT, y * MM_PER_PT


def box_of(points):
    xs, ys = zip(*points)
    return min(xs), min(ys), max(xs), max(ys)


def cut_lines(page):
    """The points of every cutting line of a page: what is drawn 0.5 mm wide."""
    for path in page.get_drawings():
        width = path.get("width")
        if width and abs(width * MM_PER_PT - CUT_WIDTH) < 0.02:
            yield from points_of(path)


def check_squares(document, checks):
    """The first page has a square of 3 in and one of 8 cm."""
    found = []
    for path in document[0].get_drawings():
        x0, y0, x1, y1 = box_of(list(points_of(path)))
        if abs((x1 - x0) - (y1 - y0)) < NEAR_MM and x1 - x0 > 50:
            found.append(x1 - x0)
    for side in (3 * 25.4, 80.0):
        near = any(abs(side - other) < NEAR_MM for other in found)
        checks.that(near, f"no test square of {side} mm among {found}")


def check_templates(folder, packet, checks):
    """Pieces put together from their sheets have the size that packet.json states."""
    document = pymupdf.open(folder / "templates-all.pdf")
    check_squares(document, checks)
    pieces = {piece["name"]: piece for piece in packet["pieces"]}
    placed = {}
    for page in document:
        found = FOOT.search(" ".join(page.get_text().split()))
        if not found:
            continue
        _, name, row, _, column, _ = found.groups()
        width, height = page.rect.width * MM_PER_PT, page.rect.height * MM_PER_PT
        across = (int(column) - 1) * (width - 2 * MARGIN - OVERLAP)
        down = (int(row) - 1) * (height - 2 * MARGIN - OVERLAP)
        lines = [(x + across, y + down) for x, y in cut_lines(page)]
        placed.setdefault(name, []).extend(lines)
    large = 0
    for name, lines in placed.items():
        if name.startswith("guide") or not lines:
            continue
        x0, y0, x1, y1 = box_of(lines)
        outline = pieces[name]["cut_outline_mm"]
        a0, b0, a1, b1 = box_of(outline)
        found, wanted = sorted((x1 - x0, y1 - y0)), sorted((a1 - a0, b1 - b0))
        near = all(abs(f - w) < NEAR_MM for f, w in zip(found, wanted))
        checks.that(near, f"{name}: the sheets give {found} mm, and it is cut {wanted}")
        large += 1
    return large


def check_dxf(folder, packet, checks):
    """Every file is sound, and pieces have the size that packet.json states."""
    pieces = {piece["id"]: piece for piece in packet["pieces"]}
    files = sorted((folder / "dxf").glob("*.dxf"))
    checks.that(bool(files), f"{folder}: no machine files")
    for file in files:
        document = ezdxf.readfile(file)
        audit = document.audit()
        sound = not audit.errors and not audit.fixes
        checks.that(sound, f"{file}: {audit.errors} {audit.fixes}")
        layers = {entity.dxf.layer for entity in document.modelspace()}
        known = layers <= {"CUT", "SEAMLINE", "GRAIN", "NOTCH", "MARK", "TEXT"}
        checks.that(known and "CUT" in layers, f"{file}: layers {layers}")
        if not file.stem.startswith("piece-"):
            continue
        lines = [e for e in document.modelspace() if e.dxf.layer == "CUT"]
        points = [(v.dxf.location.x, v.dxf.location.y) for e in lines for v in e.vertices]
        found = box_of(points)
        piece = pieces[file.stem.removeprefix("piece-")]
        size = (found[2] - found[0], found[3] - found[1])
        stated = (piece["cut_width_mm"], piece["cut_height_mm"])
        near = all(abs(f - w) < EXACT_MM for f, w in zip(size, stated))
        checks.that(near, f"{file}: {size} large instead of {stated}")
        wanted = box_of(piece["cut_outline_mm"])
        near = all(abs(f - w) < CURVES_MM for f, w in zip(found, wanted))
        checks.that(near, f"{file}: {found} instead of {wanted}")


def main():
    checks = Checks()
    large = 0
    for folder in map(pathlib.Path, sys.argv[1:]):
        packet = json.loads((folder / "packet.json").read_text())
        large += check_templates(folder, packet, checks)
        check_dxf(folder, packet, checks)
    checks.that(large > 0, "no piece was spread over several sheets")
    print(f"templates: {checks.passed} checks passed, {len(checks.faults)} failed, {large} large pieces")
    for fault in checks.faults[:20]:
        print(f"  {fault}")
    return 1 if checks.faults else 0


if __name__ == "__main__":
    sys.exit(main())
