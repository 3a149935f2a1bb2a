"""Checks layouts of `bagwright lay` with arithmetic of its own, and proves their claims anew.

Usage: layout_check.py jobs FOLDER       writes cutting jobs, made up from seeds
       layout_check.py check FOLDER      reads each JOB.json and its JOB.layout.json

"Shortest" and "no shorter purchase exists" are proven anew with the CP-SAT solver of OR-tools, in a
model of its own: an interval across and one along for each piece (and each way it may lie), and no
two rectangles on each other. It is asked whether the pieces fit on what the claim rules out.
"""

import json
import math
import pathlib
import random
import sys
from fractions import Fraction

from ortools.sat.python import cp_model

# Jobs are in whole quarter inches or in whole millimetres.
UNITS = {"inch": Fraction(635, 100), "mm": Fraction(1)}
SECONDS = 20.0


def job(seed):
    """A bag's pieces: 3 to 7 sizes, 4 to 16 pieces."""
    rng = random.Random(seed)
    inch = seed % 2 == 0
    unit, scale = (UNITS["inch"], 4) if inch else (UNITS["mm"], 25)
    rotations = [0, 90, 180, 270] if seed // 2 % 2 else [0, 180]
    pieces, left = [], 16
    for kind in range(rng.randint(3, 7)):
        across = rng.choice([(8, 24), (8, 22), (5, 14), (2, 6)])
        along = rng.choice([(8, 20), (5, 12), (2, 6)])
        size = [rng.randint(low * scale, high * scale) for low, high in (across, along)]
        count = rng.randint(1, min(4, max(1, left)))
        left -= count
        rect = [float(one * unit) for one in size]
        name = f"piece {kind}"
        pieces.append({"name": name, "rect": rect, "count": count, "rotations": rotations})
    width = rng.choice([42, 44, 54]) * 25.4 if inch else float(rng.choice([1070, 1120, 1400]))
    increments = [114.3, 304.8] if inch else [100.0]
    stock = {"width": width, "fold": False, "increments": increments, "repeat": [0, 0]}
    return {"units": "mm", "stock": stock, "cutting": "free", "pieces": pieces}


def exact(number):
    """A decimal number as it is written."""
    return Fraction(repr(number))


def faults(job, layout):
    """What is wrong with where the pieces lie and what is bought."""
    width = exact(job["stock"]["width"])
    sizes = {piece["name"]: piece for piece in job["pieces"]}
    wanted = {(p["name"], copy) for p in job["pieces"] for copy in range(p["count"])}
    boxes, found = [], []
    for one in layout["placements"]:
        piece = sizes[one["piece"]]
        if (one["piece"], one["copy"]) not in wanted:
            found.append(f"{one['piece']} {one['copy']} is there twice or not wanted")
        wanted.discard((one["piece"], one["copy"]))
        if one["rotation"] not in piece["rotations"]:
            found.append(f"{one['piece']} is turned by {one['rotation']}")
        across, along = (exact(side) for side in piece["rect"])
        if one["rotation"] % 180 == 90:
            across, along = along, across
        x, y = exact(one["x"]), exact(one["y"])
        if x < 0 or y < 0 or x + across > width:
            found.append(f"{one['piece']} {one['copy']} is off the fabric")
        boxes.append((x, y, x + across, y + along))
    found += [f"{missing} is missing" for missing in sorted(wanted)]
    for index, a in enumerate(boxes):
        for b in boxes[index + 1 :]:
            if a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]:
                found.append(f"two pieces lie on each other at {float(a[0])}, {float(a[1])}")
    length = max(box[3] for box in boxes)
    if length != exact(layout["length"]):
        found.append(f"the length is {float(length)}, not {layout['length']}")
    steps = [exact(step) for step in job["stock"]["increments"]]
    if exact(layout["bought"]) != min(math.ceil(length / step) * step for step in steps):
        found.append(f"{layout['bought']} is not the least that is sold for {float(length)}")
    return found


def ruled_out(job, layout):
    """The greatest length that the claim says is not enough; nothing if it says nothing."""
    if layout["proof"] == "within":
        return None
    if layout["proof"] == "shortest":
        # All lengths are whole units, so that the next shorter one is a unit less.
        return exact(layout["length"]) - unit(job)
    bought = exact(layout["bought"])
    steps = [exact(step) for step in job["stock"]["increments"]]
    return max((math.ceil(bought / step) - 1) * step for step in steps)


def unit(job):
    """The unit of all pieces of the job."""
    inch = UNITS["inch"]
    sides = [exact(side) for piece in job["pieces"] for side in piece["rect"]]
    return inch if all((side / inch).denominator == 1 for side in sides) else UNITS["mm"]


def fits(job, length):
    """Whether the pieces fit on this length: True, False, or None when it is not known."""
    one = unit(job)
    width, length = exact(job["stock"]["width"]) // one, length // one
    if length <= 0:
        return False
    model = cp_model.CpModel()
    across, along = [], []
    for piece in job["pieces"]:
        w, l = (int(exact(side) / one) for side in piece["rect"])
        turned = any(turn % 180 == 90 for turn in piece["rotations"])
        ways = [(w, l)] + ([(l, w)] if turned and w != l else [])
        ways = [way for way in ways if way[0] <= width and way[1] <= length]
        if not ways:
            return False
        for _ in range(piece["count"]):
            present = [model.new_bool_var("") for _ in ways]
            model.add_exactly_one(present)
            for (w_, l_), there in zip(ways, present):
                x = model.new_int_var(0, int(width - w_), "")
                y = model.new_int_var(0, int(length - l_), "")
                across.append(model.new_optional_fixed_size_interval_var(x, w_, there, ""))
                along.append(model.new_optional_fixed_size_interval_var(y, l_, there, ""))
    model.add_no_overlap_2d(across, along)
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = SECONDS
    solver.parameters.num_workers = 1
    solver.parameters.use_energetic_reasoning_in_no_overlap_2d = True
    solver.parameters.use_area_energetic_reasoning_in_no_overlap_2d = True
    answer = solver.solve(model)
    if answer in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return True
    return False if answer == cp_model.INFEASIBLE else None


def check(folder):
    proven = claimed = wrong = 0
    for file in sorted(folder.glob("*.layout.json")):
        job = json.loads((folder / file.name.replace(".layout", "")).read_text())
        layout = json.loads(file.read_text())
        for fault in faults(job, layout):
            wrong += 1
            print(f"{file.name}: {fault}")
        length = ruled_out(job, layout)
        if length is None:
            continue
        claimed += 1
        answer = fits(job, length)
        if answer:
            wrong += 1
            print(f"{file.name}: {layout['proof']}, but the pieces fit on {float(length)}")
        proven += answer is False
    print(f"layouts: {claimed} claims, {proven} proven anew, {wrong} wrong")
    if claimed == 0 or proven * 3 < claimed:
        print("too few claims could be proven anew")
        return 1
    return 1 if wrong else 0


def main():
    what, folder = sys.argv[1], pathlib.Path(sys.argv[2])
    if what == "check":
        return check(folder)
    folder.mkdir(parents=True, exist_ok=True)
    for seed in range(16):
        (folder / f"job-{seed:02}.json").write_text(json.dumps(job(seed)))
    return 0


if __name__ == "__main__":
    sys.exit(main())
