"""Checks layouts of `bagwright lay` in strips with arithmetic of its own, and finds the least length anew.

Usage: strips_check.py jobs FOLDER       writes cutting jobs, made up from seeds
       strips_check.py check FOLDER      reads each JOB.json and its JOB.layout.json

The cuts are carried out one after the other on the fabric that is bought: each has to go from edge to edge of a part
that is there, and at the end every piece must have come off. The least length is found by an integer programme, solved
with CP-SAT of OR-tools: every piece leads a block or lies in a block led by one before it, every block leads a strip or
lies in a strip led by one before it; a block is as wide as its widest piece, a strip as high as its highest block, and
no strip higher than the tallest piece may lie.
"""

import json
import pathlib
import random
import sys
from fractions import Fraction

from ortools.sat.python import cp_model

INCH = Fraction(635, 100)  # A quarter of an inch, in mm.
SECONDS = 60.0


def job(seed):
    """A bag's pieces in quarter inches: 3 to 6 sizes, at most 9 pieces."""
    rng = random.Random(seed)
    rotations = [0, 90, 180, 270] if seed % 2 else [0, 180]
    pieces, left = [], 9
    for kind in range(rng.randint(3, 6)):
        across, along = rng.choice([((8, 22), (8, 20)), ((5, 14), (5, 12)), ((2, 6), (2, 6)), ((14, 22), (2, 5))])
        size = [rng.randint(low * 4, high * 4) for low, high in (across, along)]
        count = rng.randint(1, max(1, min(3, left - 1)))
        left -= count
        rect = [float(one * INCH) for one in size]
        pieces.append({"name": f"piece {kind}", "rect": rect, "count": count, "rotations": rotations})
        if left <= 1:
            break
    stock = {"width": rng.choice([42, 44, 54]) * 25.4, "increments": [114.3, 304.8]}
    # A ruler of 24 in, on fabric folded once or twice; nothing here is longer than it.
    return {"units": "mm", "stock": stock, "cutting": "strips-first", "longest_cut": 609.6, "pieces": pieces}


def exact(number):
    """A decimal number as it is written."""
    return Fraction(repr(number))


def carry_out(job, layout):
    """What is wrong with the cuts."""
    width, bought = exact(job["stock"]["width"]), exact(layout["bought"])
    parts, off, found = [(Fraction(0), Fraction(0), width, bought)], {}, []
    for cut in layout["cuts"]:
        part = tuple(exact(one) for one in cut["of"])
        if part not in parts:
            return [f"cut {cut['number']}: its part is not there"]
        parts.remove(part)
        x, y, w, l = part
        (x0, y0), (x1, y1) = [[exact(one) for one in cut[end]] for end in ("from", "to")]
        if y0 == y1 and (x0, x1) == (x, x + w) and y < y0 < y + l:
            sides = [(x, y, w, y0 - y), (x, y0, w, y + l - y0)]
        elif x0 == x1 and (y0, y1) == (y, y + l) and x < x0 < x + w:
            sides = [(x, y, x0 - x, l), (x0, y, x + w - x0, l)]
        else:
            return [f"cut {cut['number']}: not from edge to edge"]
        on_table = ((x1 - x0) + (y1 - y0)) / cut["layers"]
        if on_table > exact(job["longest_cut"]):
            found.append(f"cut {cut['number']}: {float(on_table)} long")
        for side, said in zip(sides, (cut["off"], cut["left"])):
            if "piece" in said:
                off[(said["piece"], said["copy"])] = side
            else:
                parts.append(side)
    for one in layout["placements"]:
        piece = next(piece for piece in job["pieces"] if piece["name"] == one["piece"])
        w, l = (exact(side) for side in piece["rect"])
        if one["rotation"] not in piece["rotations"]:
            found.append(f"{one['piece']} is turned by {one['rotation']}")
        w, l = (l, w) if one["rotation"] % 180 == 90 else (w, l)
        box = (exact(one["x"]), exact(one["y"]), w, l)
        if off.pop((one["piece"], one["copy"]), None) != box:
            found.append(f"{one['piece']} {one['copy']} does not come off at the cuts")
    if len(layout["placements"]) != sum(piece["count"] for piece in job["pieces"]) or off:
        found.append("there are not just the pieces that are wanted")
    return found


def least(job):
    """The least length in quarter inches: (lower bound, length)."""
    width = int(exact(job["stock"]["width"]) / INCH)
    pieces = []
    for piece in job["pieces"]:
        w, l = (int(exact(side) / INCH) for side in piece["rect"])
        turned = any(turn % 180 == 90 for turn in piece["rotations"])
        ways = [(w, l)] + ([(l, w)] if turned and w != l else [])
        pieces += [[way for way in ways if way[0] <= width]] * piece["count"]
    tallest = max(l for ways in pieces for _, l in ways)
    model, n = cp_model.CpModel(), len(pieces)
    high = [model.new_int_var(0, tallest, "") for _ in range(n)]
    wide = [model.new_int_var(0, width, "") for _ in range(n)]
    in_block = {(i, j): model.new_bool_var("") for i in range(n) for j in range(i + 1)}
    in_strip = {(j, k): model.new_bool_var("") for j in range(n) for k in range(j + 1)}
    stack = [[] for _ in range(n)]
    for i, ways in enumerate(pieces):
        model.add_exactly_one(in_block[i, j] for j in range(i + 1))
        turns = [model.new_bool_var("") for _ in ways]
        model.add_exactly_one(turns)
        for j in range(i + 1):
            model.add_implication(in_block[i, j], in_block[j, j])
            for (w, l), turn in zip(ways, turns):
                both = model.new_bool_var("")
                model.add_bool_or([in_block[i, j].negated(), turn.negated(), both])
                model.add(wide[j] >= w).only_enforce_if(both)
                stack[j].append(l * both)
    for j in range(n):
        model.add(sum(in_strip[j, k] for k in range(j + 1)) == in_block[j, j])
        for k in range(j + 1):
            model.add_implication(in_strip[j, k], in_strip[k, k])
            model.add(sum(stack[j]) <= high[k]).only_enforce_if(in_strip[j, k])
    for k in range(n):
        taken = []
        for j in range(k, n):
            part = model.new_int_var(0, width, "")
            model.add(part == wide[j]).only_enforce_if(in_strip[j, k])
            model.add(part == 0).only_enforce_if(in_strip[j, k].negated())
            taken.append(part)
        model.add(sum(taken) <= width)
    model.minimize(sum(high))
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = SECONDS
    solver.parameters.num_workers = 1
    if solver.solve(model) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return 0, None
    return round(solver.best_objective_bound), round(solver.objective_value)


def check(folder):
    same = wrong = total = 0
    for file in sorted(folder.glob("*.layout.json")):
        job = json.loads((folder / file.name.replace(".layout", "")).read_text())
        layout = json.loads(file.read_text())
        total += 1
        for fault in carry_out(job, layout):
            wrong += 1
            print(f"{file.name}: {fault}")
        bound, length = least(job)
        claimed, used = exact(layout["bound"]) / INCH, exact(layout["length"]) / INCH
        if length is not None and claimed > length:
            wrong += 1
            print(f"{file.name}: the bound is {float(claimed)}, but {length} can be had")
        if length is not None and used > length:
            wrong += 1
            print(f"{file.name}: {float(used)} used, but {length} can be had")
        same += used == bound
    print(f"layouts in strips: {total}, of which {same} proven anew to be the shortest, {wrong} wrong")
    return 1 if wrong or same * 2 < total else 0


def main():
    what, folder = sys.argv[1], pathlib.Path(sys.argv[2])
    if what == "check":
        return check(folder)
    folder.mkdir(parents=True, exist_ok=True)
    for seed in range(12):
        (folder / f"job-{seed:02}.json").write_text(json.dumps(job(seed)))
    return 0


if __name__ == "__main__":
    sys.exit(main())
