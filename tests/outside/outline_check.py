"""Checks layouts of outlines, on folded fabric, on prints and on remnants, with shapely;
compares their density with a peer's.

Usage: outline_check.py jobs FOLDER           writes cutting jobs, made up from seeds
       outline_check.py check FOLDER          reads each JOB.json and its JOB.layout.json
       outline_check.py peer FOLDER SECONDS   lays the jobs with spyrrow too, one worker, for so long

`peer` is for measuring by hand: lay the jobs before with a release build, `bagwright lay JOB
--seconds SECONDS --json > JOB.layout.json`, on a machine that does nothing else.

Every piece must be there once, lie on the fabric and keep the gap to all others; on folded fabric
what is cut with it beneath must be a piece or free; matching pieces must lie whole repeats apart.
On remnants what is not laid must be said to be left over, and what is left as the rest must be free.
"""

import json
import pathlib
import sys

from shapely import STRtree
from shapely.affinity import rotate, scale, translate
from shapely.geometry import Polygon, box

from outline_jobs import job, scraps

# Two polygons with places in nanometres may share so much by rounding, in mm².
NOTHING = 1e-3
# How much less dense than the peer's the mean may be, in points: by processor time ours are denser
# on bags; the allowance is for a machine that does other things beside.
ALLOWED = {"bag": 1.0, "garment": 2.5}


def outline(piece):
    if "outline" in piece:
        return Polygon(piece["outline"])
    return box(0, 0, *piece["rect"])


def placed(piece, one):
    """The piece as it lies: turned over, turned, with the lower left corner of its box in place."""
    shape = outline(piece)
    if one["mirrored"]:
        shape = scale(shape, -1, 1, origin=(0, 0))
    shape = rotate(shape, one["rotation"], origin=(0, 0))
    low_x, low_y, _, _ = shape.bounds
    return translate(shape, one["x"] - low_x, one["y"] - low_y)


def faults(job, layout):
    pieces = {piece["name"]: piece for piece in job["pieces"]}
    wanted = {(p["name"], copy) for p in job["pieces"] for copy in range(p["count"])}
    gap, on_remnants = job.get("gap", 0), "remnants" in job["stock"]
    there = [(one["piece"], one["copy"]) for one in layout["placements"]]
    there += [(one["piece"], one["copy"]) for one in layout.get("left_over", [])]
    if set(there) != wanted or len(there) != len(wanted):
        yield "not every piece is there once"
    if on_remnants and layout["fits"] != (not layout["left_over"]):
        yield "what fits does not agree with what is left over"
    shapes = [placed(pieces[one["piece"]], one) for one in layout["placements"]]
    stocks = fabrics(job, layout)
    for one, shape in zip(layout["placements"], shapes):
        if not stocks[one["stock"]].buffer(1e-5).covers(shape):
            yield f"{one['piece']} {one['copy']} does not lie on the fabric"
        if one["rotation"] not in pieces[one["piece"]]["rotations"]:
            yield f"{one['piece']} {one['copy']} is turned as it may not be"
    tree = STRtree(shapes)
    for at, shape in enumerate(shapes):
        for other in tree.query(shape.buffer(gap)):
            if other <= at or layout["placements"][at]["stock"] != layout["placements"][other]["stock"]:
                continue
            if shape.intersection(shapes[other]).area > NOTHING:
                yield f"{at} and {other} overlap"
            elif gap and shape.distance(shapes[other]) < gap - 1e-5:
                yield f"{at} and {other} are nearer than the gap"
    if on_remnants:
        yield from rest_faults(layout, shapes, stocks)
        return
    if job["stock"]["fold"]:
        yield from fold_faults(job, layout, shapes)
    yield from print_faults(job, layout)


def fabrics(job, layout):
    """The fabric, or each remnant with the lower left corner of its box at the origin."""
    if "remnants" not in job["stock"]:
        return [box(0, 0, job["stock"]["width"], layout["length"])]
    found = []
    for one in job["stock"]["remnants"]:
        shape = Polygon(one["outline"]) if "outline" in one else box(0, 0, one["width"], one["length"])
        found.append(translate(shape, -shape.bounds[0], -shape.bounds[1]))
    return found


def rest_faults(layout, shapes, stocks):
    if layout["remnant"] is None:
        return
    (x, y), (width, length) = layout["remnant_at"], layout["remnant"]
    rest, stock = box(x, y, x + width, y + length), layout["remnant_stock"]
    if not stocks[stock].buffer(1e-5).covers(rest):
        yield "the rest does not lie on its remnant"
    on = [shape for one, shape in zip(layout["placements"], shapes) if one["stock"] == stock]
    if any(rest.intersection(shape).area > NOTHING for shape in on):
        yield "the rest is not free"


def fold_faults(job, layout, shapes):
    width = job["stock"]["width"]
    names = [one["piece"] for one in layout["placements"]]
    for at, shape in enumerate(shapes):
        image = translate(scale(shape, -1, 1, origin=(0, 0)), width, 0)
        for other, there in enumerate(shapes):
            if image.intersection(there).area <= max(NOTHING, 1e-6 * shape.area):
                continue
            is_same = image.symmetric_difference(there).area < 1e-3 * shape.area
            if not is_same or names[at] != names[other]:
                yield f"what is cut beneath {at} lies on {other}"


def print_faults(job, layout):
    repeat = job["stock"]["repeat"]
    groups = {piece["name"]: piece.get("match") for piece in job["pieces"]}
    first = {}
    for one in layout["placements"]:
        group = groups[one["piece"]]
        if group is None:
            continue
        start = first.setdefault(group, one)
        for key, every in zip("xy", repeat):
            off = (one[key] - start[key]) % every if every else 0
            if min(off, every - off if every else 0) > 1e-5:
                yield f"{one['piece']} {one['copy']} does not match"


def density(job, length):
    area = sum(outline(piece).area * piece["count"] for piece in job["pieces"])
    return 100 * area / (job["stock"]["width"] * length)


def laid(folder):
    for file in sorted(folder.glob("*.layout.json")):
        name = file.name.replace(".layout.json", "")
        job = json.loads((folder / f"{name}.json").read_text())
        yield name, job, json.loads(file.read_text())


def check(folder):
    wrong = count = 0
    for name, job, layout in laid(folder):
        count += 1
        for fault in faults(job, layout):
            wrong += 1
            print(f"{name}: {fault}")
        if layout["bound"] is not None and layout["bound"] > layout["length"]:
            wrong += 1
            print(f"{name}: a bound above the length")
    print(f"outlines: {count} layouts, {wrong} faults")
    return 1 if wrong or not count else 0


def peer(folder, seconds):
    """Mean densities side by side. The peer's strip runs across: its height is our width."""
    import spyrrow

    sums = {}
    for name, job, layout in laid(folder):
        kind = name.split("-")[0]
        if kind not in ALLOWED:
            continue
        items = [
            spyrrow.Item(
                piece["name"],
                [(y, -x) for x, y in outline(piece).exterior.coords[:-1]],
                piece["count"],
                [float(turn) for turn in piece["rotations"]],
            )
            for piece in job["pieces"]
        ]
        instance = spyrrow.StripPackingInstance(name, job["stock"]["width"], items)
        config = spyrrow.StripPackingConfig(
            early_termination=False, total_computation_time=seconds, num_workers=1, seed=1
        )
        theirs = density(job, instance.solve(config).width)
        ours = density(job, layout["length"])
        print(f"{name}: {ours:.2f} %, peer {theirs:.2f} %")
        both = sums.setdefault(kind, [])
        both.append((ours, theirs))
    is_less = False
    for kind, both in sums.items():
        ours, theirs = (sum(part) / len(both) for part in zip(*both))
        print(f"{kind}: mean density {ours:.2f} %, peer {theirs:.2f} %")
        is_less |= ours < theirs - ALLOWED[kind]
    return 1 if is_less or not sums else 0


def bent(job, seed):
    """The same pieces on folded fabric or on a print."""
    first = job["pieces"][0]
    if seed % 2:
        job["stock"]["fold"] = True
        for piece in job["pieces"]:
            piece["mirror"] = True
    else:
        job["stock"]["repeat"] = [160.0, 240.0]
        for piece in job["pieces"][:2]:
            piece["match"] = "print"
            piece["rotations"] = first["rotations"]
    job["gap"] = 5.0 if seed % 3 == 0 else 0.0
    return job


def main():
    what, folder = sys.argv[1], pathlib.Path(sys.argv[2])
    if what == "check":
        return check(folder)
    if what == "peer":
        return peer(folder, int(sys.argv[3]))
    folder.mkdir(parents=True, exist_ok=True)
    for seed in range(4):
        for kind in ALLOWED:
            (folder / f"{kind}-{seed}.json").write_text(json.dumps(job(kind, seed)))
        (folder / f"scraps-{seed}.json").write_text(json.dumps(scraps(seed)))
        # The fold asks for the whole width of a panel on one half: only small pieces.
        (folder / f"bent-{seed}.json").write_text(json.dumps(bent(job("bag", 20 + seed), seed)))
    return 0


if __name__ == "__main__":
    sys.exit(main())
