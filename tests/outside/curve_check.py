"""Measures curved outlines and their cutting lines with GEOS, which computes them in its own way.

Usage: curve_check.py FILE, written by `cargo run --package testkit --bin curves`.

- the length of each edge is that of its points as a line (shapely);
- the area within is that of the polygon, and for an oval that of the closed form;
- the cutting line is the boundary of the stitching line's buffer, mitred at its corners: nowhere
  farther from it than 0.1 mm (Hausdorff distance), and as long as that within 0.1 mm;
- an oval is as long all round as the complete elliptic integral says (sympy, mpmath).
"""

import json
import sys

from mpmath import ellipe, mp
from shapely.geometry import LineString, Polygon

TENTH_MM = 0.1


def check(shape):
    """Everything that is wrong with one shape."""
    faults = []
    ring = []
    for edge in shape["edges"]:
        line = LineString(edge["points"])
        if abs(line.length - edge["length"]) > TENTH_MM:
            faults.append(f"an edge is {line.length:.3f} mm long, not {edge['length']:.3f}")
        ring.extend(edge["points"][:-1])
    net = Polygon(ring)
    perimeter = sum(edge["length"] for edge in shape["edges"])
    if abs(net.area - shape["area"]) > TENTH_MM * perimeter / 10:
        faults.append(f"the area is {net.area:.1f} mm2, not {shape['area']:.1f}")
    if shape["name"].startswith("oval"):
        left, low, right, high = net.bounds
        a, b = max(right - left, high - low) / 2, min(right - left, high - low) / 2
        mp.dps = 30
        around = float(4 * a * ellipe(1 - (b / a) ** 2))
        if abs(around - perimeter) > TENTH_MM:
            faults.append(f"it is {around:.3f} mm round, not {perimeter:.3f}")
    # Joined round, the buffer of a curve is its own offset; corners are mitred.
    cut = Polygon(shape["cut"])
    buffer = net.buffer(shape["allowance"], quad_segs=64, join_style="mitre", mitre_limit=3)
    apart = cut.exterior.hausdorff_distance(buffer.exterior)
    if apart > TENTH_MM:
        faults.append(f"the cutting line lies up to {apart:.3f} mm off")
    if abs(buffer.exterior.length - shape["cut_perimeter"]) > TENTH_MM:
        faults.append(
            f"the cutting line is {buffer.exterior.length:.3f} mm long, not "
            f"{shape['cut_perimeter']:.3f}"
        )
    return faults


def main():
    with open(sys.argv[1], encoding="utf-8") as file:
        shapes = json.load(file)
    faults = [f"{shape['name']}: {fault}" for shape in shapes for fault in check(shape)]
    print(f"{len(shapes)} curved outlines, {len(faults)} that do not agree")
    for fault in faults:
        print(f"  {fault}")
    sys.exit(1 if faults or not shapes else 0)


if __name__ == "__main__":
    main()
