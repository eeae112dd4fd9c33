"""Full-size patterns read back from paper: sizes, rulers, areas, tapes.

    python3 tests/compare_patterns.py PLYMEND

Needs poppler's pdfinfo, pdftocairo and pdftotext, and shapely, trimesh, numpy and pygeodesic. A flat
sheet and a domed one, a hole in each and a crack at an edge, are printed on A4, A3 and letter. Every
page is read back by poppler: its size and both rulers within 0.1 mm. The lines of every sheet are
stitched together from its pages by their frames, the small crosses of neighbours have to meet, and
Shapely measures what they enclose: within 0.1 % of what the page says. On the flat sheet the same
areas are those of the exported removal outlines grown by Shapely. On both, every landmark on the
paper lies as far from the marks as pygeodesic says over the exported mesh, within 3 mm, and every
printed tape is right to its last digit. WRONG=scale, WRONG=area, WRONG=tape and WRONG=joint make it
fail. Nothing is kept.
"""

import json
import math
import os
import re
import subprocess
import sys
import tempfile

import numpy as np
import trimesh
from pygeodesic import geodesic
from shapely.geometry import LineString, Polygon
from shapely.ops import unary_union

PLYMEND = os.path.abspath(sys.argv[1])
WRONG = os.environ.get("WRONG", "")
MM = 25.4 / 72 * (0.997 if WRONG == "scale" else 1.0)
PAPERS = {"a4": (210.0, 297.0), "a3": (297.0, 420.0), "letter": (215.9, 279.4)}
OVERLAP = 10.0
PENS = {"cut": 0.6, "trim": 1.0, "removal": 0.4}
FILES = {
    "sheet.ron": """(format: 1, name: "sheet",
    surface: Flat(length_mm: 900, width_mm: 700, corner_radius_mm: 20), LAMINATE,
    landmarks: [(name: "lower bolt", at: (300, 250)), (name: "upper bolt", at: (320, 480)),
                (name: "far bolt", at: (860, 660))])""",
    "dome.ron": """(format: 1, name: "dome",
    surface: Moulding(kind: roof, length_mm: 1200, width_mm: 1000, crown_along_mm: 60,
        crown_across_mm: 60, edge_return_mm: 30, return_radius_mm: 15, corner_radius_mm: 80), LAMINATE,
    landmarks: [(name: "front bolt", at: (420, 380)), (name: "rear bolt", at: (800, 650)),
                (name: "corner bolt", at: (1100, 100))])""",
    "survey.ron": """(format: 1, air_c: 20, humidity_percent: 55, topcoat: brush_enamel,
    old_paint: Clear(by: "a laboratory", date: "May 2026"),
    panels: [(name: "sheet", file: "sheet.ron"), (name: "dome", file: "dome.ron")],
    marks: [
        (id: 1, panel: "sheet", kind: hole, edges_move: no, cause: Closed(what: "a kerb"),
         place: On(450, 350), shape: Patch(length_mm: 130, width_mm: 70, angle_deg: 20)),
        (id: 2, panel: "dome", kind: hole, edges_move: no, cause: Closed(what: "a kerb"),
         place: On(600, 500), shape: Patch(length_mm: 150, width_mm: 90, angle_deg: 0)),
        (id: 3, panel: "sheet", kind: through_crack, edges_move: no, cause: Closed(what: "a kerb"),
         place: On(880, 200), shape: Line(length_mm: 60, direction: Angle(0)))])""",
}
LAMINATE = """laminate: (thickness_mm: 3.0), material: hand_laid_polyester, roles: [skin],
    back: reached, fixings: none_seen"""


def expect(holds, what):
    if not holds:
        sys.exit(f"patterns: {what}")


def run(*words, may_fail=False):
    done = subprocess.run(words, capture_output=True, text=True, timeout=300)
    expect(may_fail or done.returncode == 0, f"{words} failed: {done.stderr}")
    return done.stdout


class Page:
    """One page as poppler sees it, mm, y up."""

    def __init__(self, pdf, number, size, boxes, text):
        self.size, self.text = size, " ".join(text.split())
        run("pdftocairo", "-svg", "-noshrink", "-nocenter", "-f", str(number), "-l", str(number),
            pdf, pdf + ".svg")
        drawn = open(pdf + ".svg", encoding="utf-8").read()
        self.lines = []
        for style, path, matrix in re.findall(
            r'<path style="fill:none;([^"]*)" d="([^"]*)" transform="matrix\(([^)]*)\)"', drawn
        ):
            width = float(re.search(r"stroke-width:([\d.]+)", style).group(1)) * MM
            a, b, c, d, e, f = (float(each) for each in matrix.split(","))
            expect((a, b, c, d) == (1, 0, 0, -1), f"page {number} is scaled or turned: {matrix}")
            for piece in re.findall(r"M[^M]*", path):
                at = [(float(x) * MM, float(y) * MM)
                      for x, y in re.findall(r"([-\d.]+) ([-\d.]+)", piece)]
                if "Z" in piece:
                    at.append(at[0])
                if len(at) > 1:
                    self.lines.append((round(width, 2), at))
        self.words = [
            (float(x) * MM, size[1] - float(y) * MM, word) for x, y, word in
            re.findall(r'<word xMin="([\d.]+)"[^>]*yMax="([\d.]+)">([^<]*)<', boxes)]

    def of_width(self, width):
        return [at for wide, at in self.lines if abs(wide - width) < 0.011]

    def rulers(self):
        """Lengths of the two straight lines that ten ticks stand on."""
        straight = [at for at in self.of_width(0.2) if len(at) == 2]
        found = []
        for axis in (0, 1):
            lengths = [abs(b[axis] - a[axis]) for a, b in straight if abs(a[1 - axis] - b[1 - axis]) < 1e-6]
            found.append(max(lengths))
        return found

    def frame(self):
        boxes = [Polygon(at) for at in self.of_width(0.2) if len(at) == 5 and at[0] == at[-1]]
        return max(boxes, key=lambda box: box.area).bounds

    def crosses(self, arm):
        """Middles of crosses with such arms, where they are whole."""
        found = []
        for a, b in (at for at in self.of_width(0.2) if len(at) == 2):
            if abs(a[1] - b[1]) < 1e-6 and abs(abs(b[0] - a[0]) - 2 * arm) < 0.05:
                middle = ((a[0] + b[0]) / 2, a[1])
                upright = [(p, q) for p, q in (at for at in self.of_width(0.2) if len(at) == 2)
                           if abs(p[0] - q[0]) < 1e-6 and abs(p[0] - middle[0]) < 0.02
                           and abs((p[1] + q[1]) / 2 - middle[1]) < 0.02]
                if upright:
                    found.append(middle)
        return found

    def named(self, at, by):
        """The two words that begin nearest to a place moved by so much."""
        x, y = at[0] + by[0], at[1] + by[1]
        near = min(range(len(self.words)),
                   key=lambda n: math.hypot(self.words[n][0] - x, self.words[n][1] - y))
        expect(math.hypot(self.words[near][0] - x, self.words[near][1] - y) < 2.0, f"no name at {at}")
        return " ".join(word for _, _, word in self.words[near:near + 2])


def pages_of(pdf):
    """Every page of a file."""
    many = int(re.search(r"Pages: +(\d+)", run("pdfinfo", pdf)).group(1))
    info = run("pdfinfo", "-f", "1", "-l", str(many), pdf)
    sizes = re.findall(r"Page +\d+ size: +([\d.]+) x ([\d.]+) pts", info)
    boxes = run("pdftotext", "-bbox", pdf, "-").split("<page ")[1:]
    texts = run("pdftotext", "-raw", pdf, "-").split("\f")
    expect(len(sizes) == len(boxes) == many, "pages are missing")
    return [Page(pdf, number + 1, tuple(float(each) * MM for each in sizes[number]), boxes[number],
                 texts[number]) for number in range(many)]


class Sheet:
    """The pages of one drawing put together."""

    def __init__(self, title, pages):
        self.title, self.pages = title, pages
        self.lines = {pen: [] for pen in PENS}
        self.marks, self.landmarks, joints = {}, {}, {}
        for page in pages:
            column, row = (int(each) for each in re.search(
                r"column (\d+) of \d+, row (\d+) of \d+", page.text).groups())
            low_x, low_y, high_x, high_y = page.frame()
            move = ((column - 1) * (high_x - low_x - OVERLAP) - low_x,
                    -(row - 1) * (high_y - low_y - OVERLAP) - low_y)
            put = lambda at: (at[0] + move[0], at[1] + move[1])
            for pen, width in PENS.items():
                self.lines[pen] += [[put(each) for each in at] for at in page.of_width(width)
                                    # The key above the frame is no part of the drawing.
                                    if max(y for _, y in at) <= high_y + 0.01]
            for at in page.crosses(5.0):
                name = page.named(at, (1.5, 1.5))
                if name.startswith("mark"):
                    self.marks[int(name.split()[1])] = put(at)
            for at in page.crosses(7.0):
                self.landmarks[page.named(at, (5.0, 5.0))] = put(at)
            for at in page.crosses(3.0):
                key = tuple(round(each / 20) for each in put(at))
                joints.setdefault(key, []).append(put(at))
        if WRONG == "joint":
            joints = {key: [(x + n * 0.2, y) for n, (x, y) in enumerate(at)] for key, at in joints.items()}
        shared = [at for at in joints.values() if len(at) > 1]
        expect(len(pages) == 1 or shared, f"{title}: no cross is on two sheets")
        for at in shared:
            apart = max(math.dist(one, at[0]) for one in at)
            expect(apart < 0.05, f"{title}: crosses of neighbours lie {apart:.3f} mm apart")

    def area(self, pen):
        """Area within its lines, mm2. What overlaps is printed twice and melts together in bands
        0.06 mm wide; the line itself runs in the middle of its band."""
        bands = unary_union([LineString(at).buffer(0.03) for at in self.lines[pen]])
        whole = 0.0
        for band in getattr(bands, "geoms", [bands]):
            rings = [Polygon(ring).area for ring in band.interiors if Polygon(ring).area > 0.5]
            expect(len(rings) == 1, f"{self.title}: lines do not close, {len(rings)} rings")
            whole += (Polygon(band.exterior).area + rings[0]) / 2
        return whole


def told(page, pattern):
    found = re.search(pattern, page.text)
    expect(found, f"{pattern} is not on the page: {page.text[:200]}")
    return found.group(1)


class Skin:
    """An exported panel, measured by another library."""

    def __init__(self, file):
        lines = open(file, encoding="utf-8").read().split("\n")
        head = lines.index("end_header")
        vertices, faces = (int(re.search(rf"element {what} (\d+)", "\n".join(lines)).group(1))
                           for what in ("vertex", "face"))
        rows = np.array([line.split()[:5] for line in lines[head + 1:head + 1 + vertices]], float)
        self.points, self.grid = rows[:, :3], rows[:, 3:]
        self.faces = np.array([line.split()[1:4] for line in
                               lines[head + 1 + vertices:head + 1 + vertices + faces]], int)

    def on(self, u, v):
        """The point in space of a place on the grid, and its face."""
        a, b, c = (self.grid[self.faces[:, n]] for n in range(3))
        p = np.array([u, v])
        cross = lambda x, y: x[:, 0] * y[:, 1] - x[:, 1] * y[:, 0]
        whole = cross(b - a, c - a)
        weights = np.stack([cross(b - p, c - p), cross(c - p, a - p), cross(a - p, b - p)]) / whole
        face = int(np.argmax(weights.min(axis=0)))
        # A place on an edge would make a face without area: it moves in by a thousandth.
        inner = np.maximum(weights[:, face], 1e-3)
        return inner / inner.sum() @ self.points[self.faces[face]], face

    def tape(self, one, other):
        """Distance over the mesh between two places on the grid, both put in as vertices."""
        points, faces = self.points, self.faces.tolist()
        (at, face), (to, goal) = self.on(*one), self.on(*other)
        expect(face != goal, "both places lie on one face")
        points = np.vstack([points, at, to])
        for number, new in ((face, len(points) - 2), (goal, len(points) - 1)):
            a, b, c = faces[number]
            faces[number] = [a, b, new]
            faces += [[b, c, new], [c, a, new]]
        found = geodesic.PyGeodesicAlgorithmExact(points, np.array(faces))
        return float(found.geodesicDistance(len(points) - 2, len(points) - 1)[0])


def grid_places(name):
    return {each: (float(u), float(v)) for each, u, v in
            re.findall(r'name: "([^"]+)", at: \((\d+), (\d+)\)', FILES[name + ".ron"])}


def main():
    with tempfile.TemporaryDirectory() as folder:
        os.chdir(folder)
        for name, text in FILES.items():
            open(name, "w", encoding="utf-8").write(text.replace("LAMINATE", LAMINATE))
        estimate = json.loads(run(PLYMEND, "estimate", "survey.ron", "--format", "json",
                                  "--export-geometry", "shapes", may_fail=True))
        skins = {}
        for name in ("sheet", "dome"):
            run(PLYMEND, "panel", f"{name}.ron", "--export", f"{name}.ply")
            skins[name] = Skin(f"{name}.ply")
        marks = {one["mark"]: (one["panel"], (one["place_mm"]["u"], one["place_mm"]["v"]))
                 for one in estimate["findings"]}
        tapes = {}

        def tape(panel, landmark, mark):
            key = (panel, landmark, mark)
            if key not in tapes:
                tapes[key] = skins[panel].tape(grid_places(panel)[landmark], marks[mark][1])
            return tapes[key]

        worst = {"page": 0.0, "ruler": 0.0, "area": 0.0, "closed": 0.0, "paper": 0.0, "tape": 0.0}
        counted = dict.fromkeys(("pages", "sheets", "landmarks", "tapes"), 0)
        for paper, size in PAPERS.items():
            pdf = f"{paper}.pdf"
            run(PLYMEND, "patterns", "survey.ron", "--pdf", pdf, "--paper", paper, may_fail=True)
            pages = pages_of(pdf)
            sheets = {}
            for page in pages:
                counted["pages"] += 1
                off = min(max(abs(a - b) for a, b in zip(page.size, way)) for way in (size, size[::-1]))
                worst["page"] = max(worst["page"], off)
                worst["ruler"] = max([worst["ruler"]] + [abs(one - 100) for one in page.rulers()])
                found = re.search(r"(R\d+ (?:removal|ply \d+)): (\w+), (outer|back)", page.text)
                if found and "column" in page.text:
                    sheets.setdefault(found.groups(), []).append(page)
            expect(sheets, "no sheet was found")
            for (title, panel, side), parts in sheets.items():
                counted["sheets"] += 1
                sheet = Sheet(f"{paper}, {title}, {side}", parts)
                pen = "removal" if "removal" in title else "cut"
                area = sheet.area(pen) * (1.002 if WRONG == "area" else 1.0)
                said = float(told(parts[0], r"([\d.]+) m² on the paper")) * 1e6
                # What is printed is rounded to 1 cm2 of a square metre's ten thousand.
                if os.environ.get("SHOW"):
                    print(f"  {sheet.title}: {area:.1f} mm2, said {said:.1f}, {len(parts)} pages, {len(sheet.lines[pen])} lines")
                worst["area"] = max(worst["area"], max(abs(area - said) - 50, 0) / said)
                repair = next(one for one in estimate["repairs"] if one["id"] == title.split()[0])
                likely = repair["scenarios"]["likely"]
                if panel == "sheet" and side == "outer" and repair["marks"] == [1]:
                    shapes = json.load(open(next(
                        f"shapes/{name}" for name in os.listdir("shapes")
                        if name.startswith(repair["id"]) and name.endswith("likely.json"))))
                    reach = 0.0
                    if pen == "cut":
                        reach = likely["plies"][int(title.split()[-1]) - 1]["reach_mm"]
                    grown = unary_union([
                        Polygon([at[:2] for at in one["points_mm"]]).buffer(one["outward_mm"] + reach, 256)
                        for one in shapes["removal"]])
                    worst["closed"] = max(worst["closed"], abs(area / grown.area - 1))
                for name, at in sheet.landmarks.items():
                    for mark, there in sheet.marks.items():
                        counted["landmarks"] += 1
                        over = tape(panel, name, mark) + (5.0 if WRONG == "tape" else 0.0)
                        worst["paper"] = max(worst["paper"], abs(math.dist(at, there) - over))
                for mark, said in re.findall(r"Cross .mark (\d+).: ([^.]*), over the skin", parts[0].text):
                    for mm, name in re.findall(r"(\d+) mm from (\w+ bolt)", said):
                        counted["tapes"] += 1
                        off = abs(float(mm) - tape(panel, name, int(mark)))
                        worst["tape"] = max(worst["tape"], off)
        print(f"  {counted['pages']} pages of {len(PAPERS)} papers, {counted['sheets']} sheets, "
              f"{counted['landmarks']} landmarks to marks on paper, {counted['tapes']} tapes")
        for what, limit in (("page", 0.1), ("ruler", 0.1), ("area", 0.001), ("closed", 0.001),
                            ("paper", 3.0), ("tape", 0.55)):
            print(f"  worst {what}: {worst[what]:.5f} (limit {limit})")
            expect(worst[what] <= limit, f"{what} is off by {worst[what]}, limit {limit}")
        expect(counted["landmarks"] >= 12 and counted["tapes"] >= 60, f"too little to compare: {counted}")


main()
