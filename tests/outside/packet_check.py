"""Reads finished packets with libraries that know nothing of bagwright, and checks what they hold.

Usage: packet_check.py FOLDER..., each written by `bagwright make`.

Geometry is checked with shapely (GEOS), the booklet with PyMuPDF. Nothing here repeats how
bagwright computes a value: a cutting line is checked by its distance from the stitching line, a
layout by the intersections of its pieces.
"""

import json
import math
import pathlib
import re
import subprocess
import sys
from xml.etree import ElementTree

import pymupdf
from shapely.affinity import rotate, scale, translate
from shapely.geometry import LinearRing, LineString, Point, Polygon, box
from shapely.strtree import STRtree

# Lengths are exact to a nanometre, outlines of curves run within 0.05 mm.
NEAR_MM = 0.06
MM_PER_PT = 25.4 / 72
# ISO 216 and ANSI/ASME Y14.1, in mm.
PAPERS = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}


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


def outward(start, end, cut):
    """From the middle of an edge, square to it and outwards, to the cutting line."""
    (x0, y0), (x1, y1) = start, end
    length = math.hypot(x1 - x0, y1 - y0)
    middle = Point((x0 + x1) / 2, (y0 + y1) / 2)
    # Outlines run counter-clockwise, so the outside lies to the right.
    far = Point(middle.x + (y1 - y0) / length * 1000, middle.y - (x1 - x0) / length * 1000)
    return LineString([middle, far]).intersection(LinearRing(cut.exterior.coords)).distance(middle)


def check_piece(piece, checks):
    """The cutting line lies outside the stitching line, each edge at its allowance."""
    name = piece["name"]
    net = Polygon(piece["net_outline_mm"])
    checks.that(net.is_valid and net.area > 0, f"{name}: the stitching line is no simple polygon")
    if piece["cut_outline_mm"] is None:
        return
    cut = Polygon(piece["cut_outline_mm"])
    checks.that(cut.is_valid, f"{name}: the cutting line crosses itself")
    checks.that(
        cut.buffer(NEAR_MM).contains(net), f"{name}: the stitching line runs outside the cutting line"
    )
    left, low, right, high = cut.bounds
    for axis, size, said in (
        ("wide", right - left, piece["cut_width_mm"]),
        ("high", high - low, piece["cut_height_mm"]),
    ):
        checks.that(
            abs(size - said) <= NEAR_MM, f"{name}: cut {size:.3f} mm {axis}, but {said} is told"
        )
    edges = piece["edges"]
    points = piece["net_outline_mm"]
    if len(points) != len(edges):
        return  # A curved edge has several points; its allowance is checked by the box alone.
    for edge, start, end in zip(edges, points, points[1:] + points[:1]):
        length = Point(start).distance(Point(end))
        checks.that(
            abs(length - edge["length_mm"]) <= NEAR_MM,
            f"{name}, {edge['name']}: {length:.3f} mm long, but {edge['length_mm']} is told",
        )
        away = outward(start, end, cut)
        checks.that(
            abs(away - edge["allowance_mm"]) <= NEAR_MM,
            f"{name}, {edge['name']}: allowance {away:.3f} mm, but {edge['allowance_mm']} is told",
        )


def laid_shape(placement, pieces):
    """The outline of a piece as it lies, and whether it is a rectangle. Blocks and joined strips,
    which are no piece as it is cut, are the rectangle that the layout says."""
    x, y = placement["x_mm"], placement["y_mm"]
    rect = box(x, y, x + placement["width_mm"], y + placement["length_mm"])
    named = [piece for piece in pieces if piece["name"] == placement["piece"]]
    # Interfacing is cut with the allowances or without them.
    for outline in [o for p in named for o in (p["cut_outline_mm"], p["net_outline_mm"]) if o]:
        shape = Polygon(outline)
        if placement["mirrored"]:
            shape = scale(shape, -1, 1, origin=(0, 0))
        shape = rotate(shape, placement["turned_degrees"], origin=(0, 0))
        low_x, low_y, high_x, high_y = shape.bounds
        found = (high_x - low_x, high_y - low_y)
        told = (placement["width_mm"], placement["length_mm"])
        if all(abs(f - t) <= NEAR_MM for f, t in zip(found, told)):
            is_rectangle = abs(shape.area - rect.area) <= 1e-3
            return (rect, True) if is_rectangle else (translate(shape, x - low_x, y - low_y), False)
    return rect, True


def check_layout(layout, pieces, checks):
    """No two pieces overlap, none lies outside the fabric, and none is missing."""
    name = layout["material"]
    laid = [(f"{p['piece']} {p['copy']}.{p['part']}", *laid_shape(p, pieces))
            for p in layout["placements"]]
    fabric = box(0, 0, layout["width_mm"], layout["length_mm"]).buffer(1e-6)
    for what, shape, _ in laid:
        checks.that(fabric.contains(shape), f"layout of {name}: {what} lies outside the fabric")
    # Only shapes whose boxes meet can overlap; the others are apart, and are counted as such.
    tree = STRtree([shape for _, shape, _ in laid])
    first, second = tree.query([shape for _, shape, _ in laid])
    near = sorted((int(i), int(j)) for i, j in zip(first, second) if i < j)
    checks.passed += len(laid) * (len(laid) - 1) // 2 - len(near)
    for i, j in near:
        (one, a, plain), (other, b, also_plain) = laid[i], laid[j]
        shared = a.intersection(b)
        # Chords stand for curves, so that outlines may seem to share a sliver.
        apart = shared.area < 1e-6 or (
            not (plain and also_plain) and shared.buffer(-NEAR_MM).is_empty
        )
        message = f"layout of {name}: {one} and {other} overlap by {shared.area} mm2"
        checks.that(apart, message)
    area = sum(shape.area for _, shape, _ in laid)
    room = layout["width_mm"] * layout["length_mm"]
    checks.that(area <= room + 1e-3, f"layout of {name}: {area} mm2 of pieces on {room} mm2")
    joined = {join["piece"] for join in layout["joins"]}
    for piece in pieces:
        # The same name may stand for a piece and for its interfacing, on different layouts.
        laid = [p for p in layout["placements"] if p["piece"] == piece["name"]]
        if not laid or piece["name"] in joined:
            continue
        checks.that(
            len(laid) == piece["count"],
            f"layout of {name}: {len(laid)} of {piece['name']}, but {piece['count']} are cut",
        )
        larger = 2 * piece["cut_larger_mm"]
        sizes = sorted((piece["cut_width_mm"] + larger, piece["cut_height_mm"] + larger))
        for p in laid:
            if p["is_interfacing"]:
                continue
            found = sorted((p["width_mm"], p["length_mm"]))
            same = all(abs(a - b) <= NEAR_MM for a, b in zip(sizes, found))
            checks.that(same, f"layout of {name}: {piece['name']} is {found}, but is cut {sizes}")


def check_yardage(packet, checks):
    """No line buys less than it needs, and every fabric that is cut is bought."""
    lines = {line["material"]: line for line in packet["yardage"]}
    for line in packet["yardage"]:
        name = line["material"]
        if line["used_mm"] is None:
            continue
        needed = line["used_mm"] + line["squaring_mm"]
        checks.that(line["needed_mm"] >= needed - 1e-6, f"{name}: needs less than it uses")
        checks.that(line["bought_mm"] >= line["needed_mm"] - 1e-6, f"{name}: buys less than it needs")
    for piece in packet["pieces"]:
        checks.that(piece["material"] in lines, f"{piece['name']}: its material is not bought")
        if piece["interfacing"]:
            stiff = piece["interfacing"]["material"]
            checks.that(stiff in lines, f"{piece['name']}: its interfacing is not bought")


def check_booklet(path, packet, checks):
    """The PDF is sound, true to its paper, keeps all text on the page, and tells everything."""
    sound = subprocess.run(["qpdf", "--check", path], capture_output=True, text=True)
    checks.that(sound.returncode == 0, f"{path.name}: qpdf says {sound.stdout}{sound.stderr}")
    text = ""
    with pymupdf.open(path) as booklet:
        checks.that(booklet.page_count >= 4, f"{path.name}: {booklet.page_count} pages")
        for page in booklet:
            place = f"{path.name}, page {page.number + 1}"
            size = sorted((page.rect.width * MM_PER_PT, page.rect.height * MM_PER_PT))
            fits = any(
                all(abs(a - b) < 0.5 for a, b in zip(size, sorted(paper)))
                for paper in PAPERS.values()
            )
            checks.that(fits, f"{place}: {size} mm is neither A4 nor Letter")
            words = page.get_text("words")
            off = [word[4] for word in words if not page.rect.contains(pymupdf.Rect(word[:4]))]
            checks.that(not off, f"{place}: text runs off the page: {off[:5]}")
            lying = overlaps(words)
            checks.that(not lying, f"{place}: text lies on text: {lying[:5]}")
            text += page.get_text()
        fonts = {font for page in booklet for font in page.get_fonts()}
        loose = [font[3] for font in fonts if font[1] == "n/a"]
        checks.that(not loose, f"{path.name}: fonts are not embedded: {loose}")
    told = squeezed(text)
    for piece in packet["pieces"]:
        checks.that(squeezed(piece["name"]) in told, f"{path.name}: no piece `{piece['name']}`")
    for step in packet["steps"]:
        start = squeezed(step["text"])[:40]
        checks.that(start in told, f"{path.name}: no step `{step['id']}`")


def check_picture(path, piece, checks):
    """An SVG is well formed, its user unit is 1 mm, and the cutting line has the piece's shape."""
    root = ElementTree.parse(path).getroot()
    _, _, width, height = (float(number) for number in root.get("viewBox").split())
    for side, size in (("width", width), ("height", height)):
        number, unit = root.get(side)[:-2], root.get(side)[-2:]
        same = unit == "mm" and abs(float(number) - size) < 1e-3
        checks.that(same, f"{path.name}: {side} {number}{unit}, but the view box has {size}")
    lines = [
        element.get("d")
        for element in root.iter("{http://www.w3.org/2000/svg}path")
        if element.get("class") == "line-cut"
    ]
    checks.that(bool(lines), f"{path.name}: there is no cutting line")
    if not lines or piece is None or re.search("[CQA]", lines[0]):
        return
    numbers = [float(number) for number in re.findall(r"-?[\d.]+", lines[0])]
    across, along = numbers[0::2], numbers[1::2]
    drawn = sorted((max(across) - min(across), max(along) - min(along)))
    cut = sorted((piece["cut_width_mm"], piece["cut_height_mm"]))
    # Coordinates have three decimals; a strip is drawn some 5 mm wide.
    scales = [b / a for a, b in zip(drawn, cut)]
    checks.that(
        abs(scales[0] / scales[1] - 1) < 1e-3,
        f"{path.name}: drawn {drawn} mm for a piece cut {cut} mm: not to one scale",
    )


def squeezed(text):
    """Text without white space and hyphens, so that line breaks do not matter."""
    return "".join(c for c in text.lower() if not c.isspace() and c not in "-\u00ad\u2010")


def overlaps(words):
    """Pairs of words of which one covers a good part of the other."""
    found = []
    # From the top: a word is compared with those below it that begin before it ends.
    ordered = sorted(words, key=lambda word: word[1])
    for index, (left, top, right, bottom, said, *_) in enumerate(ordered):
        for other in ordered[index + 1 :]:
            if other[1] >= bottom:
                break
            wide = min(right, other[2]) - max(left, other[0])
            if wide <= 0:
                continue
            high = min(bottom, other[3]) - other[1]
            smaller = min(
                (right - left) * (bottom - top), (other[2] - other[0]) * (other[3] - other[1])
            )
            # Boxes of words are as high as the line; a third of the smaller one is more than
            # touching.
            if wide * high > 0.34 * smaller:
                found.append((said, other[4]))
    return found


def check_folder(folder, checks):
    packet = json.loads((folder / "packet.json").read_text(encoding="utf-8"))
    for piece in packet["pieces"]:
        check_piece(piece, checks)
    for layout in packet["layouts"]:
        check_layout(layout, packet["pieces"], checks)
    check_yardage(packet, checks)
    pieces = {piece["id"]: piece for piece in packet["pieces"]}
    pictures = sorted((folder / "pieces").glob("*.svg"))
    checks.that(
        {picture.stem for picture in pictures} == set(pieces),
        f"pictures of {[picture.stem for picture in pictures]}, but pieces {list(pieces)}",
    )
    for picture in pictures:
        check_picture(picture, pieces.get(picture.stem), checks)
    for picture in sorted((folder / "layouts").glob("*.svg")):
        check_picture(picture, None, checks)
    booklet = folder / "booklet.pdf"
    checks.that(booklet.is_file(), f"{folder}: there is no booklet.pdf")
    if booklet.is_file():
        check_booklet(booklet, packet, checks)


def main(folders):
    checks = Checks()
    for folder in folders:
        known = len(checks.faults)
        check_folder(pathlib.Path(folder), checks)
        for fault in checks.faults[known:]:
            print(f"{folder}: {fault}")
    print(f"{checks.passed} passed, {len(checks.faults)} failed")
    return 1 if checks.faults or not checks.passed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
