"""Says what surfaces the bodies are that bagwright has sewn, with libraries that know nothing of it.

Usage: surface_check.py FILE, written by `cargo run --package testkit --bin surfaces`.

From the incidence alone (edges with their two ends, and the panels that run along them):

- the panels' outlines must be closed: the product of the two boundary matrices is zero (sympy);
- the Euler characteristic is the alternating sum of the Betti numbers, from the ranks of the
  boundary matrices modulo 2 (sympy);
- the mouths are the connected components of the edges that one panel has alone (networkx);
- the surface is one-sided if its orientation double cover hangs together (networkx).

Sources: A. Hatcher, "Algebraic Topology" (2002), section 2.1 (homology from boundary maps), 2.2
(Euler characteristic) and 3.3 (orientation double cover); W. S. Massey, "A Basic Course in
Algebraic Topology" (1991), chapter I (a surface with b boundary circles: 2 - 2g - b, 2 - k - b).
"""

import json
import sys
from collections import Counter

import networkx as nx
from sympy import GF, ZZ
from sympy.polys.matrices import DomainMatrix


def boundary_matrices(body):
    """Vertices by edges, and edges by panels, with signs."""
    vertices = sorted({end for start, stop, _ in body["edges"] for end in (start, stop)})
    panels = sorted({panel for *_, shared in body["edges"] for panel, _ in shared})
    row = {vertex: at for at, vertex in enumerate(vertices)}
    column = {panel: at for at, panel in enumerate(panels)}
    first = [[0] * len(body["edges"]) for _ in vertices]
    second = [[0] * len(panels) for _ in body["edges"]]
    for at, (start, stop, shared) in enumerate(body["edges"]):
        first[row[start]][at] -= 1
        first[row[stop]][at] += 1
        for panel, along in shared:
            second[at][column[panel]] += 1 if along else -1
    return vertices, panels, matrix(first), matrix(second)


def matrix(rows):
    return DomainMatrix([[ZZ(value) for value in row] for row in rows],
                        (len(rows), len(rows[0])), ZZ)


def betti_sum(vertices, panels, first, second):
    """b0 - b1 + b2 over the field of two elements."""
    two = GF(2)
    rank = [m.convert_to(two).rank() for m in (first, second)]
    edges = first.shape[1]
    betti = [len(vertices) - rank[0], edges - rank[0] - rank[1], len(panels) - rank[1]]
    return betti[0] - betti[1] + betti[2], betti


def mouths(body):
    graph = nx.MultiGraph()
    for start, stop, shared in body["edges"]:
        if len(shared) == 1:
            graph.add_edge(start, stop)
    return nx.number_connected_components(graph) if graph else 0


def two_sided(body):
    """Each panel twice, one for each face; a seam joins the faces that lie on the same side."""
    cover = nx.Graph()
    for *_, shared in body["edges"]:
        for panel, _ in shared:
            cover.add_nodes_from([(panel, False), (panel, True)])
        if len(shared) == 2:
            (one, one_along), (other, other_along) = shared
            # Two outlines that run the same way along an edge lie on opposite sides.
            turned = one_along == other_along
            for face in (False, True):
                cover.add_edge((one, face), (other, face != turned))
    return nx.number_connected_components(cover) == 2


def check(body):
    faults = []
    vertices, panels, first, second = boundary_matrices(body)
    if any(value != 0 for row in (first * second).to_list() for value in row):
        faults.append("an outline is not closed")
    if max(len(shared) for *_, shared in body["edges"]) > 2:
        faults.append("an edge is shared by more than two panels")
    euler, betti = betti_sum(vertices, panels, first, second)
    ours = (body["vertices"], body["euler"], body["mouths"], body["orientable"])
    theirs = (len(vertices), euler, mouths(body), two_sided(body))
    if ours != theirs:
        faults.append(f"bagwright says {ours}, the libraries say {theirs}")
    if betti[0] != 1:
        faults.append("the body does not hang together")
    handles = 2 - euler - theirs[2]
    if handles < 0 or (theirs[3] and handles % 2):
        faults.append(f"no surface has characteristic {euler} and {theirs[2]} mouths")
    return faults, theirs


def main():
    bodies = json.load(open(sys.argv[1], encoding="utf-8"))
    seen, bad = Counter(), 0
    for body in bodies:
        faults, (_, euler, holes, sided) = check(body)
        seen[(euler, holes, "two-sided" if sided else "one-sided")] += 1
        for fault in faults:
            bad += 1
            print(f"{body['name']}: {fault}")
    for (euler, holes, sided), count in sorted(seen.items()):
        print(f"{count:5} bodies: characteristic {euler}, {holes} mouths, {sided}")
    sides = {sided for *_, sided in seen}
    if sides != {"one-sided", "two-sided"}:
        bad += 1
        print(f"only {sides} among the bodies: the other kind was not tried")
    print(f"surfaces: {len(bodies)} bodies, {bad} faults")
    sys.exit(bad > 0)


main()
