"""Cutting jobs with outlines, made up from seeds: bag-like mixes, and shapes as garments have them."""

import math
import random


def arc(cx, cy, rx, ry, start, end, steps):
    """Points on an ellipse from one angle to another, in degrees."""
    angles = [math.radians(start + (end - start) * at / steps) for at in range(steps + 1)]
    return [(cx + rx * math.cos(a), cy + ry * math.sin(a)) for a in angles]


def rounded(points):
    """Corners in hundredths of a millimetre, with the lower left of the box at the origin."""
    low_x, low_y = min(x for x, _ in points), min(y for _, y in points)
    found = []
    for x, y in points:
        corner = [round(x - low_x, 2), round(y - low_y, 2)]
        if not found or corner != found[-1]:
            found.append(corner)
    return found if found[0] != found[-1] else found[:-1]


def circle(rng):
    r = rng.randrange(60, 161, 5)
    return arc(0, 0, r, r, 0, 360, 48)[:-1]


def oval(rng):
    rx, ry = rng.randrange(90, 201, 5), rng.randrange(50, 111, 5)
    return arc(0, 0, rx, ry, 0, 360, 48)[:-1]


def flap(rng):
    """Straight at the top, rounded lower corners."""
    w, h = rng.randrange(180, 401, 5), rng.randrange(120, 261, 5)
    r = rng.randrange(30, min(w, h) // 2, 5)
    return (
        arc(r, r, r, r, 180, 270, 10) + arc(w - r, r, r, r, 270, 360, 10) + [(w, h), (0, h)]
    )


def gusset(rng):
    """Tapered along its length."""
    wide, length = rng.randrange(120, 241, 5), rng.randrange(250, 601, 5)
    narrow = rng.randrange(50, wide - 20, 5)
    inset = (wide - narrow) / 2
    return [(0, 0), (wide, 0), (wide - inset, length), (inset, length)]


def panel(rng):
    """Tapered across: wider at the rim."""
    base, height = rng.randrange(240, 421, 5), rng.randrange(250, 421, 5)
    by = rng.randrange(20, 71, 5)
    return [(by, 0), (base + by, 0), (base + 2 * by, height), (0, height)]


def pocket(rng):
    """A pocket whose opening curves in."""
    w, h = rng.randrange(160, 301, 5), rng.randrange(140, 261, 5)
    deep = rng.randrange(20, 51, 5)
    return [(0, 0), (w, 0), (w, h)] + arc(w / 2, h, w / 2, deep, 0, -180, 12)[1:-1] + [(0, h)]


def wedge(rng):
    w, h = rng.randrange(120, 301, 5), rng.randrange(150, 401, 5)
    return [(0, 0), (w, 0), (0, h)]


def rect(rng):
    w, h = rng.choice([(420, 380), (300, 250), (180, 160), (110, 500), (80, 80)])
    w, h = w + rng.randrange(-40, 41, 5), h + rng.randrange(-40, 41, 5)
    return [(0, 0), (w, 0), (w, h), (0, h)]


BAG = [circle, oval, flap, gusset, panel, pocket, wedge, rect, rect]


def bodice(rng):
    """Half a front: neck and armhole curve in."""
    w, h = rng.randrange(230, 301, 5), rng.randrange(420, 621, 5)
    neck, arm = rng.randrange(70, 91), rng.randrange(180, 231)
    points = [(0, 0), (w, 0), (w, h - arm)]
    shoulder = w - rng.randrange(50, 81)
    points += arc(w, h - 30, w - shoulder, arm - 30, 270, 180, 10)[1:]
    points += [(neck, h)]
    points += arc(0, h, neck, neck, 0, -90, 8)[1:]
    return points


def sleeve(rng):
    """The cap curves out, then in."""
    w, h = rng.randrange(320, 421, 5), rng.randrange(380, 601, 5)
    cap, hem = rng.randrange(110, 151), rng.randrange(200, 281)
    inset = (w - hem) / 2
    top = [
        (w / 2 * (1 + math.cos(math.radians(a))), h - cap + cap * (1 - math.cos(2 * math.radians(a))) / 2)
        for a in range(0, 181, 12)
    ]
    return [(inset, 0), (inset + hem, 0)] + top


def trouser(rng):
    """A leg with its crotch curve."""
    w, h = rng.randrange(260, 331, 5), rng.randrange(850, 1051, 5)
    hem, rise = rng.randrange(180, 221), rng.randrange(230, 281)
    waist = w - rng.randrange(60, 91)
    points = [(20, 0), (20 + hem, 0), (w, h - rise)]
    points += arc(w, h - rise + 110, w - waist, 110, 270, 180, 8)[1:]
    return points + [(waist - 10, h), (10, h), (0, h - rise)]


def collar(rng):
    w, h = rng.randrange(350, 451, 5), rng.randrange(60, 91, 5)
    bow = rng.randrange(15, 36)
    below = [(x, bow * math.sin(math.pi * x / w)) for x in [w * at / 12 for at in range(13)]]
    return below + [(x, y + h) for x, y in reversed(below)]


def cuff(rng):
    return [(0, 0), (w := rng.randrange(200, 281, 5), 0), (w, h := rng.randrange(60, 121, 5)), (0, h)]


def skirt(rng):
    """A flared panel, hem and waist curved."""
    r, h = rng.randrange(250, 401, 5), rng.randrange(450, 651, 5)
    half = rng.randrange(14, 23)
    return arc(0, 0, r + h, r + h, 270 - half, 270 + half, 12) + arc(0, 0, r, r, 270 + half, 270 - half, 8)


GARMENT = [bodice, bodice, sleeve, trouser, collar, cuff, skirt]


def job(kind, seed):
    """A job in the format of `bagwright lay`."""
    rng = random.Random(f"{kind} {seed}")
    shapes = BAG if kind == "bag" else GARMENT
    kinds = rng.randint(3, 8) if kind == "bag" else rng.randint(4, 9)
    most = 25 if kind == "bag" else 40
    rotations = [0, 90, 180, 270] if kind == "bag" and seed % 2 else [0, 180]
    width = rng.choice([1070, 1120, 1400]) if kind == "bag" else rng.choice([1120, 1400, 1500])
    pieces, left = [], most
    for at in range(kinds):
        make = rng.choice(shapes)
        count = min(left, rng.randint(1, 5 if kind == "bag" else 8))
        if count == 0:
            break
        left -= count
        piece = {"name": f"{make.__name__} {at}", "outline": rounded(make(rng)), "count": count}
        pieces.append(piece | {"rotations": rotations})
    stock = {"width": float(width), "fold": False, "increments": [100.0], "repeat": [0, 0]}
    return {"units": "mm", "stock": stock, "cutting": "free", "pieces": pieces}


def scraps(seed):
    """Small pieces on what is left of other bags: notched, slanting and straight remnants."""
    rng = random.Random(700 + seed)
    width, length = rng.randrange(500, 901, 5), rng.randrange(400, 701, 5)
    notch, deep = rng.randrange(150, 301, 5), rng.randrange(120, 301, 5)
    slant = rng.randrange(60, 201, 5)
    remnants = [
        {"outline": [[0, 0], [width, 0], [width, length - deep], [width - notch, length - deep],
                     [width - notch, length], [0, length]]},
        {"outline": [[40, 30], [40 + width // 2, 30], [40 + width // 2 - slant, 30 + length], [40, 30 + length]]},
        {"width": rng.randrange(200, 401, 5), "length": rng.randrange(200, 401, 5)},
    ]
    ways = [[0, 180], [0, 90, 180, 270]][seed % 2]
    kinds = [circle, flap, pocket, gusset]
    pieces = []
    for at, kind in enumerate(kinds):
        outline = rounded([(x * 0.6, y * 0.6) for x, y in kind(rng)])
        piece = {"name": f"piece {at}", "outline": outline, "count": rng.randint(1, 3), "rotations": ways}
        pieces.append(piece)
    pieces.append({"name": "tab", "rect": [rng.randrange(60, 121, 5), 80], "count": 4, "rotations": ways})
    gap = 4.0 if seed % 3 == 0 else 0.0
    return {"units": "mm", "stock": {"remnants": remnants}, "gap": gap, "pieces": pieces}
