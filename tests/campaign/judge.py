"""Judges a re-measured drawing against the truth that only the edit knows: svgpathtools and shapely, nothing of ours.

Every complaint is a sentence; none means that all holds.
"""
from __future__ import annotations

import re
from collections.abc import Iterator

import numpy as np
from shapely import prepare
from shapely.geometry import LineString, Point, Polygon
from svgpathtools import parse_path
from svgpathtools.parser import parse_transform
from svgpathtools.path import transform as transform_path

from tests.campaign.line import CORNERS, EDGES, OWN, Line, points_on, svg_path

SVG = "{http://www.w3.org/2000/svg}"

#: Millimetres: what is drawn is rounded to four decimals, curves are followed here to about a hundredth.
CLOSE = 0.02

#: A length lettered in cm is rounded to the millimetre.
LETTERED = 0.5 + 0.02


def parts(root, part: str) -> list:
    return [e for e in root.iter() if e.get(f"{OWN}part") == part]


def words_of(element) -> list[str]:
    return ["".join(e.itertext()) for e in element.iter(f"{SVG}tspan")]


def within(element, layer) -> np.ndarray:
    """3 x 3: from the coordinates inside ``element`` to those of the sleeve's layer."""
    total = np.eye(3)
    for e in [element, *element.iterancestors()]:
        if e is layer:
            return total
        total = parse_transform(e.get("transform") or "") @ total
    raise AssertionError("the element is not in the layer")


def path_of(element, layer):
    return transform_path(parse_path(element.get("d")), within(element, layer))


def along(path, each: int = 60) -> np.ndarray:
    points = []
    for segment in path:
        count = 1 if type(segment).__name__ == "Line" else each
        points += [segment.point(t) for t in np.linspace(0, 1, count, endpoint=False)]
    points.append(path[-1].end)
    return np.array([(z.real, z.imag) for z in points])


def judge(root, line: Line, allowances: dict) -> list[str]:
    """Return what is wrong with a drawing that says it is right; ``line`` is the truth in the layer's frame."""
    (layer,) = parts(root, "sleeve")
    found: list[str] = []
    seam = Polygon(np.concatenate([points_on(s, 60)[:-1] for s in line.segments]))
    bridged = Polygon(line.bridged())
    found += corners(root, line)
    found += tiers(root, layer, line, bridged)
    found += levels(root, layer, line, bridged)
    found += report(root, line)
    found += notes(root, line, bridged)
    found += cutting(root, layer, line, seam, allowances)
    found += notches(root, layer, line)
    return found


def corners(root, line: Line) -> Iterator[str]:
    seam = parts(root, "seam line")[0]
    told = np.array([[*map(float, pair.split(","))] for pair in seam.get(f"{OWN}corners").split()])
    for name, here, true in zip(CORNERS, told, line.corners()):
        if np.hypot(*(here - true)) > CLOSE:
            yield f"corner: {name} taken at {here.round(1).tolist()}, it is at {true.round(1).tolist()}"


# --- lines ----------------------------------------------------------------------------------------------


def tiers(root, layer, line: Line, bridged: Polygon) -> Iterator[str]:
    report_text = " ".join(" ".join(words_of(e)) for e in parts(root, "truing report"))
    letters = " ".join(" ".join(words_of(e)) for e in parts(root, "tier lengths layer"))
    numbers = []
    for element in parts(root, "tier line"):
        number = int(float(element.get(f"{OWN}number")))
        numbers.append(number)
        path = path_of(element, layer)
        if len(path.continuous_subpaths()) > 1:
            yield f"tier {number}: {len(path.continuous_subpaths())} lines in one path"
        if f"Tier line {number}" in report_text and "does not run from one side seam" in report_text:
            continue  # it misses a side, and that is said
        for end in (path.start, path.end):
            off = bridged.exterior.distance(Point(end.real, end.imag))
            if off > CLOSE:
                yield f"tier {number}: an end lies {off:.2f} mm off the seam"
        length = path.length(error=1e-6) - _over_openings(along(path), line)
        if abs(float(element.get(f"{OWN}length-mm")) - length) > CLOSE:
            yield f"tier {number}: says {element.get(f'{OWN}length-mm')}, measures {length:.2f}"
        lettered = re.findall(rf"Tier {number}: ([\d.]+) cm", letters)
        if letters and [abs(float(x) * 10 - length) <= LETTERED for x in lettered] != [True]:
            yield f"tier {number}: lettered {lettered}, measures {length:.2f} mm"
        yield from _openings_named(f"tier {number}", along(path), line, report_text)
    if len(set(numbers)) < len(numbers):
        yield f"tiers: numbers {sorted(numbers)}"
    stale = set(map(int, re.findall(r"Tier (\d+):", letters))) - set(numbers)
    if stale:
        yield f"tiers: lettered beside the sleeve but not drawn: {sorted(stale)}"


def _over_openings(points: np.ndarray, line: Line) -> float:
    """What of a line lies over openings from leg to leg: no cloth is there.

    A line that comes in through the mouth of a dart in a side seam crosses one leg only: sewn, it runs on to the seam beyond.
    """
    across, over = LineString(points), 0.0
    for opening in line.openings:
        legs = [LineString([end, opening.tip]).buffer(CLOSE) for end in (opening.start, opening.end)]
        if all(across.intersects(leg) for leg in legs):
            over += across.intersection(Polygon([opening.start, opening.tip, opening.end]).buffer(CLOSE / 100)).length
    return over


def _openings_named(what: str, points: np.ndarray, line: Line, report: str) -> Iterator[str]:
    """A line that runs over an opening in the hem or the top edge has less cloth than it is long: that must be said."""
    for opening in line.openings:
        if opening.edge not in ("hem", "top edge"):
            continue
        gap = Polygon([opening.start, opening.tip, opening.end])
        over = LineString(points).intersection(gap).length
        if over > 1.0 and "opening" not in report:
            yield f"{what}: {over:.1f} mm of it lie over an opening, which is not named"


def levels(root, layer, line: Line, bridged: Polygon) -> Iterator[str]:
    rows = [" ".join(words_of(e)) for layer_ in parts(root, "level widths layer") for e in layer_.iter(f"{SVG}text")]
    said = [re.fullmatch(r"(\D+) -?[\d.]+ cm down: sleeve ([\d.]+) cm.*", row) for row in rows]
    lettered = {found[1].lower(): float(found[2]) * 10 for found in said if found}
    drawn = []
    for element in parts(root, "level line"):
        name = element.get(f"{OWN}level")
        path = path_of(element, layer)
        if "display:none" in (element.get("style") or ""):
            continue  # the sleeve does not reach this level any more: it is put away, and may not be lettered either
        drawn.append(name)
        ends = np.array([(z.real, z.imag) for z in (path.start, path.end)])
        bent = LineString(ends).hausdorff_distance(LineString(along(path))) > 10 * CLOSE
        if name == "hem":
            width = line.hem_around()
        elif name == "underarm":
            points = np.array([line.corner(f"{side} underarm point") for side in ("back", "front")])
            off = min(np.hypot(*(ends - points).T).max(), np.hypot(*(ends[::-1] - points).T).max())
            if off > 3 * CLOSE:
                yield f"level underarm: drawn {off:.2f} mm off the underarm points"
            width = path.length(error=1e-6)
        elif bent:  # a sleeve that was spread: the level runs across as what was level before, and is measured so
            off = max(bridged.exterior.distance(Point(end)) for end in ends)
            if off > CLOSE:
                yield f"level {name}: an end lies {off:.2f} mm off the seam"
            width = path.length(error=1e-6) - _over_openings(along(path), line)
        else:
            y = path.start.imag
            width = _width(bridged, y)
            if width is None:
                yield f"level {name}: lies at {y:.1f}, where there is no sleeve"
                continue
            if abs(path.length(error=1e-6) - width) > 2 * CLOSE:
                yield f"level {name}: drawn {path.length(error=1e-6):.2f} long, the sleeve is {width:.2f} wide there"
            width = _cloth(line, y, width)
        if name in lettered and abs(lettered[name] - width) > LETTERED:
            yield f"level {name}: lettered {lettered[name]}, measures {width:.2f}"
    stale = set(lettered) - set(drawn) - {"hem"}  # which runs along the Seam line where it is plain, and is put away
    if stale:
        yield f"levels: lettered but not drawn: {sorted(stale)}"


def _width(area: Polygon, y: float) -> float | None:
    """The stretch across the grain line at a height."""
    left, _, right, _ = area.bounds
    met = area.intersection(LineString([(left - 1, y), (right + 1, y)]))
    pieces = [g for g in getattr(met, "geoms", [met]) if g.length > 1e-6]
    return max((g.length for g in pieces), default=None)


def _cloth(line: Line, y: float, width: float) -> float:
    """The width without what lies over openings in the hem or the top edge."""
    return width - _over_openings(np.array([(-2000.0, y), (2000.0, y)]), line)


# --- what is lettered -------------------------------------------------------------------------------------


def report(root, line: Line) -> Iterator[str]:
    if not parts(root, "truing report"):
        yield "report: there is none"
        return
    (panel,) = parts(root, "truing report")
    text = " ".join(words_of(panel))
    said = re.search(r"front ([\d.]+) cm, back ([\d.]+) cm: they differ by (just over |no more than |)([\d.]+) mm", text)
    front, back = line.length("front underarm"), line.length("back underarm")
    if not said:
        yield "report: no underarm seams"
    else:
        for side, number, true in (("front", said[1], front), ("back", said[2], back)):
            if abs(float(number) * 10 - true) > LETTERED:
                yield f"report: {side} underarm {number} cm, is {true:.2f} mm"
        told = abs(float(said[1]) - float(said[2])) * 10
        if abs(told - float(said[4])) > 1e-6 if not said[3] else (said[3] == "just over ") != (abs(front - back) > float(said[4])):
            yield f"report: differ by {said[3]}{said[4]}, told {told:.0f}, is {abs(front - back):.2f} mm"
    hem = re.search(r"closed hem ([\d.]+) cm", text)
    if hem and abs(float(hem[1]) * 10 - line.hem_around()) > LETTERED:
        yield f"report: closed hem {hem[1]} cm, is {line.hem_around():.2f} mm"
    hem = re.search(r"Hem level .*?sleeve ([\d.]+) cm", text)
    if hem and abs(float(hem[1]) * 10 - line.hem_around()) > LETTERED:
        yield f"report: hem level {hem[1]} cm, is {line.hem_around():.2f} mm"
    for opening in line.openings:
        wanted = f"{round(opening.mouth + 1e-9, 0) / 10:.1f}"
        near = [f"{opening.mouth / 10 + d:.1f}" for d in (-0.05, 0, 0.05)]
        if not re.search(r"dart|opening|vent", text, re.IGNORECASE) or not any(w in text for w in (wanted, *near)):
            yield f"report: the {opening.edge} has an opening of {opening.mouth:.1f} mm that is not named"


def cells(root, part: str) -> list[tuple[float, float, str]]:
    """Every single-row text of a layer of ours: x, y, words."""
    found = []
    for layer in parts(root, part):
        for text in layer.iter(f"{SVG}text"):
            rows = words_of(text)
            if len(rows) == 1:
                found.append((float(text.get("x")), round(float(text.get("y")), 1), rows[0]))
    return found


def notes(root, line: Line, bridged: Polygon) -> Iterator[str]:
    rows = cells(root, "notes layer")
    underarm = np.hypot(*(line.corner("front underarm point") - line.corner("back underarm point")))
    (layer,) = parts(root, "sleeve")
    drawn = [path_of(e, layer).length(error=1e-6) for e in parts(root, "level line") if e.get(f"{OWN}level") == "underarm"]
    if drawn and underarm <= drawn[0] <= 1.03 * underarm:  # bent where the sleeve was spread
        underarm = drawn[0]
    true = {
        "Top edge, one sleeve": line.length("top edge"),
        "Width at the underarm": float(underarm),
        **{f"{side.capitalize()} {edge} seam": line.length(f"{side} {edge}") for side in ("front", "back") for edge in ("armhole", "underarm")},
        "Closed hem": line.hem_around(),
    }
    for label, value in true.items():
        # The bodice's armhole seams, as typed, bear the same names further up.
        for x, y, _ in sorted((row for row in rows if row[2] == label), key=lambda row: row[1])[-1:]:
            beside = sorted((x2, w) for x2, y2, w in rows if y2 == y and x2 > x)
            number = re.fullmatch(r"([\d.]+) cm.*", beside[0][1]) if beside else None
            if number is None or abs(float(number[1]) * 10 - value) > LETTERED:
                yield f"notes: {label} {beside[:1]}, is {value:.2f} mm"
    text = " ".join(w for e in parts(root, "notes layer") for w in words_of(e))
    moved = list(parts(root, "tier line"))
    last = re.search(r"last section (?:is )?([\d.]+) cm", text)
    if last and moved:
        section = _last_section(root, line)
        if section is not None and abs(float(last[1]) * 10 - section) > LETTERED:
            yield f"notes: last section {last[1]} cm, is {section:.2f} mm"
    length = _grain_height(line, "hem") - _grain_height(line, "top edge")
    for layer in parts(root, "names layer"):
        said = re.search(r"length ([\d.]+) cm", " ".join(words_of(layer)))
        if said and abs(float(said[1]) * 10 - length) > LETTERED:
            yield f"on the piece: length {said[1]} cm, is {length:.2f} mm"


def _grain_height(line: Line, edge: str) -> float:
    """Where an edge crosses the grain line; a shaped hem at its straight line."""
    if edge == "hem" and (line.shaped or any(o.edge == "hem" for o in line.openings)):
        a, b = line.corner("front hem"), line.corner("back hem")
        points = _without_openings(line, "hem") if not line.shaped else np.array([a, b])
    elif any(o.edge == edge for o in line.openings):
        points = _without_openings(line, edge)
    else:
        points = np.concatenate([points_on(s, 60) for s in line.edge(edge)])
    order = np.argsort(points[:, 0], kind="stable")
    return float(np.interp(0.0, points[order, 0], points[order, 1]))


def _without_openings(line: Line, edge: str) -> np.ndarray:
    tips = [o.tip for o in line.openings]
    kept = [points_on(s, 60) for s in line.edge(edge) if not any(np.hypot(*(s[k] - tip)) < 1e-9 for tip in tips for k in (0, 3))]
    return np.concatenate(kept)


def _last_section(root, line: Line) -> float | None:
    (layer,) = parts(root, "sleeve")
    heights = []
    for element in parts(root, "tier line"):
        points = along(path_of(element, layer))
        order = np.argsort(points[:, 0], kind="stable")
        heights.append(float(np.interp(0.0, points[order, 0], points[order, 1])))
    return _grain_height(line, "hem") - max(heights) if heights else None


# --- cut and notches ----------------------------------------------------------------------------------------


def cutting(root, layer, line: Line, seam: Polygon, allowances: dict) -> Iterator[str]:
    for element in parts(root, "cutting line"):
        cut = Polygon(along(path_of(element, layer), 40))
        if not cut.is_valid:
            yield "cutting line: crosses itself"
            continue
        prepare(cut)
        if not cut.buffer(1e-3).contains(seam):
            yield "cutting line: does not hold the seam"
            continue
        folded = not line.shaped and not any(o.edge == "hem" for o in line.openings)
        # Beside a corner the narrower of two allowances runs on straight until it meets the wider, so that past a hollow
        # one the edge comes nearer to it by the sine of that turn.
        hollow = np.sin(np.radians([max(0.0, -line.turn_at_corner(name)) for name in CORNERS]))
        tips = np.array([o.tip for o in line.openings] + [p for o in line.openings for p in (o.start, o.end)]).reshape(-1, 2)
        for edge in EDGES:
            wanted = allowances[edge]
            points = np.concatenate([points_on(s, 20)[1:-1] for s in line.edge(edge)])
            apart = np.hypot(*np.moveaxis(points[:, None] - line.corners()[None], -1, 0))
            far = apart.min(axis=1)
            narrower = min(allowances.values()) - far * hollow[apart.argmin(axis=1)]
            # Beside a folded edge the cut is the mirror image of the cloth above the fold.
            clear = 3.5 * max(allowances.values()) if folded else 1e-9
            if len(tips):
                near = np.min(np.hypot(*np.moveaxis(points[:, None] - tips[None], -1, 0)), axis=1)
                inside = near < 80
            else:
                inside = np.zeros(len(points), bool)
            for p, d, beside_corner, skip in zip(points, far, narrower, inside):
                if d <= clear or skip:
                    continue
                given = cut.exterior.distance(Point(p))
                least = wanted if d > 1.5 * wanted else beside_corner
                if given < least - 0.05:
                    yield f"cutting line: {given:.2f} mm at the {edge}, {wanted:.2f} asked"
                    break


def notches(root, layer, line: Line) -> Iterator[str]:
    for side in ("front", "back"):
        edge = f"{side} armhole"
        points = np.concatenate([points_on(s, 200) for s in line.edge(edge)])
        path = LineString(points)
        whole = svg_path(line.edge(edge)).length(error=1e-6)
        for k, element in enumerate(parts(root, f"{side} notch")):
            told = float(element.get(f"{OWN}distance-mm"))
            if told >= whole:
                continue  # an armhole too short for it: the report has a check of its own
            tick = LineString(along(path_of(element, layer)))
            if tick.intersects(path):
                yield f"notch: {side} {k} crosses the seam"
            at = path.project(Point(tick.coords[-1]))
            from_underarm = whole - at if side == "front" else at
            if abs(from_underarm - told - 6.35 * k) > 0.05:
                yield f"notch: {side} {k} stands {from_underarm:.2f} from the underarm point, {told + 6.35 * k:.2f} said"
