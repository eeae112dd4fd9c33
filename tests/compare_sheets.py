"""The workbook of `quote` read back with openpyxl and held against the JSON of the same job.

    python3 tests/compare_sheets.py target/debug/plymend

Needs openpyxl 3.1.5. Fails where a figure of order, packs, later lists, cut plan, price or quote is
not in its sheet as the JSON has it, where a cell is a formula, where a sheet lacks a stop line, a
referral, a block or a mark that is left out, where its head does not stay in view or a column has no
width, where a text of the survey that begins like a formula has become one or has been changed, or
where the same job gives other bytes a second later. WRONG=figure, WRONG=formula, WRONG=stop,
WRONG=head or WRONG=bytes in the environment puts a slip in, to see that the comparison notices.
"""

import io
import json
import os
import pathlib
import shutil
import subprocess
import sys
import tempfile
import time

import openpyxl

SURVEY = "survey-a.ron"
# A ware's or a place's name that somebody may well have meant as a formula.
RISKY = "=HYPERLINK(A1)"
WRONG = os.environ.get("WRONG", "")
CASES = ("low", "likely", "high")


def quote(program, folder, form):
    """The answer in a form, as bytes; exit code 1 says that somebody has to look."""
    command = [program, "quote", f"{folder}/{SURVEY}", "--prices", f"{folder}/prices.ron"]
    command += ["--format", form]
    made = subprocess.run(command, capture_output=True, check=False)
    if made.returncode not in (0, 1):
        sys.exit(made.stderr.decode())
    return made.stdout


def job(folder):
    """The example, an access of which is named like a formula."""
    shutil.copytree("examples/harbour-shuttle", folder, dirs_exist_ok=True)
    prices = pathlib.Path(folder, "prices.ron")
    text = prices.read_text(encoding="utf-8")
    named = 'what: "lift the canopy off its posts and set it back"'
    if named not in text:
        sys.exit(f"the price file has no {named}")
    prices.write_text(text.replace(named, f'what: "{RISKY}"'), encoding="utf-8")


def rows(book, sheet, sort):
    """Rows of a sheet whose first cell says what they are."""
    return [row for row in book[sheet].iter_rows(values_only=True) if row[0] == sort]


def three(of):
    return [of[case] for case in CASES]


def packs(of):
    return " + ".join(f"{one['count']} x {one['amount']:g}" for one in of) or None


def expected(report):
    """Sheet, sort of row and the cells after it, in order."""
    order, price = report["order"], report["price"]
    for one in order["lines"]:
        cells = [one["what"], one["unit"], *three(one["need"]), one["from_shelf"]]
        cells += [packs(one["packs"]), one["left_over"], packs(one["packs_high"])]
        yield "Order for now", "buy now", cells + [one["opened_keeps_days"]]
        for sort, part in (("likely", "packs"), ("high", "packs_high")):
            for pack in one[part]:
                cells = [one["what"], one["unit"], pack["count"], pack["amount"]]
                yield "Packs", f"for the {sort} need", cells
    for later in order["buy_only_after"]:
        for one in later["lines"]:
            cells = [one["what"], one["unit"], later["after"], " ".join(later["repairs"])]
            yield "Buy only after", "buy only after", cells + three(one["need"])
    for one in order["cut_plan"]:
        cells = [one["mat"], one["roll_width_mm"], one["pieces"], one["pieces_m2"]]
        yield "Cut plan", "cut plan", cells + three(one["length_m"]) + [one["least_m"]]
        for over in one["offcuts"]:
            size = f"{over['across_mm']:g} x {over['along_mm']:g} mm"
            place = f"{over['from_end_mm']:g} mm from the end and {over['from_edge_mm']:g} mm"
            cells = [one["mat"], *[None] * 7, f"{size}, {place} from the edge of the roll"]
            yield "Cut plan", "over, worth keeping", cells
    for later in order["buy_only_after"]:
        for one in later["cut_plan"]:
            cells = [one["mat"], one["roll_width_mm"], one["pieces"], one["pieces_m2"]]
            why = f"only after: {later['after']} ({' '.join(later['repairs'])})"
            cells += three(one["length_m"]) + [one["least_m"], why]
            yield "Cut plan", "cut plan, for later", cells
    for one in order["waste"]:
        cells = [one["class"], *three(one["mass_kg"]), "; ".join(one["from"]), one["caution"]]
        yield "Waste", "waste to hand over", cells
    for one in order["not_here"]:
        yield "Not bought", "not bought", [one["what"], one["why"]]
    for one in order["at_hand"]:
        yield "Not bought", "within reach before a tin is opened", [one["what"], one["why"]]
    for one in price["lines"]:
        money = ["not priced" if each is None else each for each in three(one["money"])]
        yield "Price", one["group"], [one["what"], *money]
    totals = three(price["totals"])
    for what, part in (("without tax", "net"), (None, "tax"), ("with tax", "gross")):
        name = f"together, {what}" if what else part
        yield "Price", "total", [name, *(one[part] for one in totals)]
    for one in price["not_priced"]:
        yield "Price", "NOT PRICED, in no sum", [one["what"], None, None, None, one["why"]]
    for one in price["provisional"]:
        name = f"mark {one['mark']}: {one['what']}"
        yield "Price", "the shop's own sum, in no total", [name, None, one["money"]]
    of = price["quote"]
    if of["lacks"]:
        why = "NO FIXED PRICE: something is not priced or left out"
        yield "Quote", "quote", [why]
    for what, part in (
        (f"work and materials, on the {of['figure']} figure", "work"),
        ("for what nobody can see", "contingency"),
        ("both, with tax", "gross"),
        ("stops and calls before, with tax", "stop_at"),
    ):
        yield "Quote", "quote", [what, of[part]]
    yield "Quote", "quote", ["holds for", None, of["expires_days"]]


def compare(report, book):
    faults, figures, wanted = [], 0, {}
    for sheet, sort, cells in expected(report):
        wanted.setdefault((sheet, sort), []).append(cells)
    for (sheet, sort), lines in wanted.items():
        found = rows(book, sheet, sort)
        if len(found) != len(lines):
            faults.append(f"{sheet}, {sort}: {len(found)} rows, the JSON has {len(lines)}")
        for line, row in zip(lines, found):
            for want, got in zip(line, row[1:]):
                figures += isinstance(want, (int, float))
                same = want == got and isinstance(got, str) == isinstance(want, str)
                if not same:
                    faults.append(f"{sheet}, {sort}, {line[0]}: {got!r}, the JSON has {want!r}")
    return faults, figures


def marked(mark):
    return "" if mark is None else f"mark {mark}: "


def sheets(report, book):
    """What holds of every sheet."""
    faults = []
    for page in book:
        texts = {(row[0], row[1]) for row in page.iter_rows(max_col=2, values_only=True)}
        part = report["price" if page.title in ("Price", "Quote") else "order"]
        must = [("STOP", one["text"]) for one in report["stops"]]
        must += [
            ("REFERRED", f"{marked(one['mark'])}{one['reason']}; {one['who']}")
            for one in report["referrals"]
        ]
        must += [
            ("BLOCKED", f"{one['step']}: {one['why']}; way out: {one['way_out']}")
            for one in report["blocks"]
        ]
        must += [
            ("left out of every figure", f"{marked(one['mark'])}{one['reason']}")
            for one in part["excludes"]
        ]
        faults += [f"{page.title}: lacks {one}" for one in must if one not in texts]
        top = {page.cell(row=2 + number, column=2).value for number in range(len(must))}
        if top != {one[1] for one in must}:
            faults.append(f"{page.title}: the warnings are not the first rows")
        if page.freeze_panes != "A2":
            faults.append(f"{page.title}: the head does not stay in view: {page.freeze_panes}")
        for cell in page[1]:
            if not page.column_dimensions[cell.column_letter].width > 9:
                faults.append(f"{page.title}: column {cell.column_letter} has no width")
        for row in page.iter_rows():
            faults += [f"{page.title}: {c.coordinate} is a formula" for c in row if c.data_type == "f"]
    return faults


def slip(book):
    """A fault put in on purpose."""
    page = book["Order for now"]
    if WRONG == "figure":
        cell = next(c for c in page["D"][1:] if c.value is not None)
        cell.value += 0.01
    elif WRONG == "formula":
        page["H1"].value = "=1+1"
    elif WRONG == "stop":
        page["B2"].value = "nothing"
    elif WRONG == "head":
        page.freeze_panes = None


def main():
    program = sys.argv[1]
    with tempfile.TemporaryDirectory() as folder:
        job(folder)
        report = json.loads(quote(program, folder, "json"))
        made = quote(program, folder, "xlsx")
        time.sleep(2.1)
        again = quote(program, folder, "xlsx")
    if WRONG == "bytes":
        again = again[:-1] + b"!"
    book = openpyxl.load_workbook(io.BytesIO(made))
    slip(book)
    faults, figures = compare(report, book)
    faults += sheets(report, book)
    if made != again:
        faults.append("the same job gave other bytes two seconds later")
    names = [row[1] for row in book["Price"].iter_rows(values_only=True)]
    if RISKY not in names:
        faults.append(f"{RISKY!r} is not in the sheet Price as it was written")
    if figures < 100:
        faults.append(f"only {figures} figures were compared")
    print(f"{figures} figures in {len(book.sheetnames)} sheets against the JSON: {len(faults)} faults")
    for fault in faults[:20]:
        print(fault)
    sys.exit(bool(faults))


main()
