"""The pages of `report` looked at by a browser, as readers, printers and keyboards see them.

    python3 tests/compare_pages.py target/debug/plymend /usr/bin/chromium NODE_MODULES

Needs playwright 1.65.2 (driving a Chromium that is there), poppler's pdftotext, and in NODE_MODULES
the general-purpose checkers axe-core 4.14.1 (WCAG 2.2 A and AA) and html-validate 10.9.0 (rules of
the HTML standard). Pages of the example for its three readers, the shop's in imperial units and the
inspector's of a survey whose every text tries to be something else than text, and the page of a
comparison, are held to this:

- no console message, no request but the file itself, no dialogue; the same text without scripts
- print: every page carries every stop line, what is in no figure, and for whom it is; parts that
  begin a sheet do; nothing is printed past the edge
- no two texts of a drawing overlap, none leaves its drawing
- axe-core finds nothing, contrast of AA included; html-validate finds nothing
- the tabulator reaches links and drawings in the order of the page, each with a visible frame
- at 360 px nothing but what may be moved sideways is wider than the screen
- every link inside the page has its target, every id is there once
- the same job gives the same bytes

WRONG=request, console, stop, overlap, contrast, html, order, wide, link or bytes in the environment
puts a slip in, to see that the check notices.
"""

import json
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

from playwright.sync_api import sync_playwright

PROGRAM, CHROMIUM = sys.argv[1:3]
MODULES = pathlib.Path(sys.argv[3]).resolve()
WRONG = os.environ.get("WRONG", "")
DEMO = "examples/harbour-shuttle"
FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"]
FLAGS += ["--disable-background-networking", "--disable-component-update", "--disable-sync"]
# Texts that would be something else than text where nobody escapes them.
RISKY = [
    "<script>alert(1)</script>",
    "\\\"><img src=x onerror=alert(2)>",
    "</style></svg></pre></details><h1>not ours</h1>",
    "&lt;b&gt; & <!-- ]]> -->",
    "\\u{202e}turned\\u{202c} \\u{1b}[31mred",
    "javascript:alert(3)",
]
faults = []


def fault(name, what):
    faults.append(f"{name}: {what}")


def written(folder, arguments, out):
    """A page in a file; exit code 1 says that somebody has to look."""
    command = [PROGRAM, "report", f"{folder}/survey-a.ron", "--prices", f"{folder}/prices.ron"]
    made = subprocess.run(command + arguments + ["-o", str(out)], capture_output=True, check=False)
    if made.returncode not in (0, 1):
        sys.exit(made.stderr.decode())
    return out.read_text(encoding="utf-8")


def risky(folder):
    """The example with every free text of its survey replaced."""
    shutil.copytree(DEMO, folder, dirs_exist_ok=True)
    path = pathlib.Path(folder, "survey-a.ron")
    text = path.read_text(encoding="utf-8")
    number = 0

    def other(found):
        nonlocal number
        number += 1
        return f'{found.group(1)}"{RISKY[number % len(RISKY)]} {number}"'

    fields = "client|purpose|author|interest|access|date|weather|light|cleaning|note|why|kind"
    changed, count = re.subn(rf'\b((?:{fields}):\s*)"(?:[^"\\]|\\.)*"', other, text)
    if count < 15:
        sys.exit(f"only {count} texts of the survey were found")
    path.write_text(changed, encoding="utf-8")


def slipped(html):
    """The page with the slip that was asked for."""
    slips = {
        "request": ("</main>", '<img src="https://example.invalid/a.png" alt="x"></main>'),
        "console": ("</main>", "<script>console.log('x')</script></main>"),
        "stop": ("thead.every { display: table-header-group; }", ""),
        "overlap": ("</svg>", '<text x="40" y="40">a b c d e</text><text x="42" y="42">f g h i j</text></svg>'),
        "contrast": ("--ink: #16202a", "--ink: #b8b8b8"),
        "html": ("</main>", "<p><div></div></p></main>"),
        "order": ("<main", '<a href="#copy" tabindex="5">x</a><main'),
        "wide": ("</main>", '<p style="width:60rem">x</p></main>'),
        "link": ("</main>", '<a href="#nowhere">x</a></main>'),
    }
    if WRONG in slips:
        before, after = slips[WRONG]
        html = html.replace("default-src 'none'", "default-src *; script-src * 'unsafe-inline'")
        return html.replace(before, after, 1)
    return html


OVERLAPS = """() => {
  const found = [];
  document.querySelectorAll('svg').forEach((svg, drawing) => {
    const frame = svg.getBoundingClientRect();
    const boxes = [...svg.querySelectorAll('text')].filter(t => t.textContent.trim())
      .map(t => [t.textContent, t.getBoundingClientRect()]);
    boxes.forEach(([text, box], number) => {
      if (box.left < frame.left - 1 || box.right > frame.right + 1 ||
          box.top < frame.top - 1 || box.bottom > frame.bottom + 1)
        found.push(`drawing ${drawing + 1}: "${text}" leaves its drawing`);
      for (const [other, its] of boxes.slice(number + 1)) {
        const wide = Math.min(box.right, its.right) - Math.max(box.left, its.left);
        // A box is as high as its typeface, a letter about three quarters of that.
        const slack = 0.14 * (box.height + its.height);
        const high = Math.min(box.bottom, its.bottom) - Math.max(box.top, its.top) - slack;
        if (wide > 0.5 && high > 0.5)
          found.push(`drawing ${drawing + 1}: "${text}" and "${other}" overlap`);
      }
    });
  });
  return found;
}"""

LINKS = """() => {
  const ids = [...document.querySelectorAll('[id]')].map(e => e.id);
  const twice = ids.filter((id, at) => ids.indexOf(id) !== at).map(id => `id ${id} twice`);
  const known = new Set(ids);
  const links = [...document.querySelectorAll('a[href]')].map(a => a.getAttribute('href'));
  const dead = links.filter(l => !l.startsWith('#') || !known.has(l.slice(1)));
  return twice.concat([...new Set(dead)].map(l => `link ${l} leads nowhere`));
}"""

NARROW = """() => {
  const wide = document.documentElement.scrollWidth;
  const found = wide > 361 ? [`the page is ${wide} px wide`] : [];
  document.querySelectorAll('body *').forEach(e => {
    const box = e.getBoundingClientRect();
    if (box.width > 0 && box.right > 362 && !e.closest('.wide, .drawing, .every, .skip'))
      found.push(`${e.tagName} "${e.textContent.trim().slice(0, 40)}" ends at ${Math.round(box.right)} px`);
    const style = getComputedStyle(e);
    if (e.childNodes.length && [...e.childNodes].some(n => n.nodeType === 3 && n.textContent.trim()) &&
        parseFloat(style.fontSize) < 11 && !e.closest('svg, .every'))
      found.push(`${e.tagName} "${e.textContent.trim().slice(0, 40)}" is set in ${style.fontSize}`);
  });
  return found.slice(0, 10);
}"""

FOCUS = """() => {
  const now = document.activeElement;
  if (!now || now === document.body) return null;
  const style = getComputedStyle(now);
  const last = window.last;
  window.last = now;
  const after = !last || !!(last.compareDocumentPosition(now) & Node.DOCUMENT_POSITION_FOLLOWING);
  const seen = style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) > 0;
  return [now.tagName + ' ' + (now.textContent || '').trim().slice(0, 30), after, seen];
}"""


def squeezed(text):
    """Without spaces and hyphens of line ends."""
    return re.sub(r"\s+", "", text)


def printed(page, name, file, report):
    """The pages as paper; gives their number."""
    pdf = file.with_suffix(".pdf")
    page.pdf(path=str(pdf), format="A4", prefer_css_page_size=False)
    text = subprocess.run(["pdftotext", "-layout", str(pdf), "-"], capture_output=True, check=True)
    pages = text.stdout.decode().split("\f")[:-1]
    stops = [squeezed(stop["text"]) for stop in report["stops"]]
    left = [one["mark"] for one in report["materials"]["high"]["excludes"] if one["mark"]]
    for number, sheet in enumerate(pages, 1):
        text = squeezed(sheet)
        for stop in stops:
            if stop not in text:
                fault(name, f"printed page {number} of {len(pages)} lacks a stop line: {stop}")
        if left and squeezed(f"In no figure: marks {', '.join(map(str, left))}") not in text:
            fault(name, f"printed page {number} does not say what is in no figure")
        if "nobodyelsemayrelyonit" not in text:
            fault(name, f"printed page {number} does not say for whom it is")
    boxes = subprocess.run(["pdftotext", "-bbox", str(pdf), "-"], capture_output=True, check=True)
    wide = 0.0
    for line in boxes.stdout.decode().splitlines():
        if sheet := re.search(r'<page width="([\d.]+)"', line):
            wide = float(sheet.group(1))
        elif word := re.search(r'<word xMin="([-\d.]+)".*xMax="([-\d.]+)".*>(.*)</word>', line):
            if float(word.group(1)) < 0 or float(word.group(2)) > wide:
                fault(name, f"{word.group(3)!r} is printed past the edge of the paper")
    sheets = page.evaluate("[...document.querySelectorAll('.sheet > h2')].map(h => h.textContent)")
    for heading in sheets:
        # Head, then the heading, with nothing between them.
        begins = [
            number
            for number, sheet in enumerate(pages, 1)
            if any(
                squeezed(line) == squeezed(heading)
                for line in [one for one in sheet.splitlines() if one.strip()][:14]
            )
        ]
        if not begins:
            fault(name, f"no printed page begins with {heading!r}")
    if len(pages) < len(sheets) + 1:
        fault(name, f"{len(pages)} printed pages for {len(sheets)} parts that begin a sheet")
    return len(pages)


def looked_at(browser, name, file, report):
    """Everything that a browser can tell about a page."""
    context = browser.new_context(viewport={"width": 1000, "height": 1200}, bypass_csp=True)
    page = context.new_page()
    heard = []
    page.on("console", lambda message: heard.append(f"console: {message.text}"))
    page.on("pageerror", lambda error: heard.append(f"error: {error}"))
    page.on("dialog", lambda dialogue: (heard.append(f"dialogue: {dialogue.message}"), dialogue.dismiss()))
    address = file.resolve().as_uri()
    page.on("request", lambda asked: heard.append(f"request: {asked.url[:90]}")
            if asked.url != address and not asked.url.startswith("data:") else None)
    page.goto(address)
    for what in heard:
        fault(name, what)
    for what in page.evaluate(LINKS) + page.evaluate(OVERLAPS):
        fault(name, what)
    drawings = page.evaluate("document.querySelectorAll('svg').length")
    broken = page.evaluate("[...document.images].filter(i => !i.naturalWidth).length")
    if broken:
        fault(name, f"{broken} pictures cannot be shown")
    pages = printed(page, name, file, report)
    with_scripts = page.evaluate("document.body.innerText")
    places = page.evaluate("document.querySelectorAll('a[href], summary, [tabindex]').length")
    for number in range(min(40, places)):
        page.keyboard.press("Tab")
        found = page.evaluate(FOCUS)
        if found is None:
            fault(name, f"the tabulator loses its place after {number} steps")
            break
        what, after, seen = found
        if not after:
            fault(name, f"the tabulator goes back to {what!r}")
        if not seen:
            fault(name, f"{what!r} has no visible frame when the tabulator is on it")
    page.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")
    page.add_script_tag(path=f"{MODULES}/axe-core/axe.min.js")
    wanted = "{runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa']}"
    for one in page.evaluate(f"axe.run(document, {wanted}).then(r => r.violations)"):
        for node in one["nodes"][:3]:
            fault(name, f"axe-core, {one['id']}: {one['help']}: {node['html'][:120]}")
    page.set_viewport_size({"width": 360, "height": 780})
    for what in page.evaluate(NARROW):
        fault(name, f"at 360 px {what}")
    context.close()
    silent = browser.new_context(java_script_enabled=False, viewport={"width": 1000, "height": 1200})
    page = silent.new_page()
    page.goto(address)
    if squeezed(page.inner_text("body")) != squeezed(with_scripts):
        fault(name, "the page is another one without scripts")
    silent.close()
    return drawings, pages


def validated(files):
    """What the rules of the HTML standard say."""
    settings = files[0].parent / ".htmlvalidate.json"
    settings.write_text(json.dumps({"root": True, "extends": ["html-validate:standard"]}))
    command = [f"{MODULES}/.bin/html-validate", "--formatter", "json", *map(str, files)]
    # Into a file: a pipe it may leave before everything is read.
    told = files[0].parent / "told.json"
    with open(told, "wb") as out:
        made = subprocess.run(
            command, stdout=out, stderr=subprocess.PIPE, check=False, cwd=files[0].parent
        )
    try:
        results = json.loads(told.read_text(encoding="utf-8"))
    except json.JSONDecodeError:
        sys.exit(f"html-validate did not run: {made.stderr.decode()[:400]}")
    # It names files with faults only.
    if made.returncode not in (0, 1):
        sys.exit(f"html-validate could not run: {made.stderr.decode()[:400]}")
    for result in results:
        for one in result["messages"][:8]:
            what = f"html-validate, {one['ruleId']}, line {one['line']}: {one['message']}"
            fault(pathlib.Path(result["filePath"]).name, what)


def main():
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as driver:
        folder = pathlib.Path(folder)
        hostile = folder / "job"
        risky(hostile)
        asked = subprocess.run(
            [PROGRAM, "quote", f"{DEMO}/survey-a.ron", "--format", "json"], capture_output=True, check=False
        )
        report = json.loads(asked.stdout)
        jobs = [
            ("owner", DEMO, ["--for", "owner"]),
            ("inspector", str(hostile), ["--for", "inspector"]),
            ("shop", DEMO, ["--for", "shop", "--units", "imperial"]),
        ]
        files = []
        for name, job, arguments in jobs:
            file = folder / f"{name}.html"
            html = written(job, arguments, file)
            if name == "shop":
                again = written(job, arguments, folder / "again.html")
                if again != html or WRONG == "bytes":
                    fault(name, "the same job gave other bytes")
            file.write_text(slipped(html), encoding="utf-8")
            files.append((name, file))
        changes = folder / "changes.html"
        compared = [PROGRAM, "compare", f"{DEMO}/survey-a.ron", f"{DEMO}/survey-b.ron", "--format"]
        subprocess.run(compared + ["html", "-o", str(changes)], check=False)
        asked = subprocess.run(compared + ["json"], capture_output=True, check=False)
        stops = {"stops": json.loads(asked.stdout)["stops"], "materials": {"high": {"excludes": []}}}
        changes.write_text(slipped(changes.read_text(encoding="utf-8")), encoding="utf-8")
        files.append(("changes", changes))
        browser = driver.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        for name, file in files:
            drawings, pages = looked_at(browser, name, file, {"shop": metric_free(report), "changes": stops}.get(name, report))
            size = file.stat().st_size / 1024
            print(f"{name}: {size:.0f} KiB, {drawings} drawings, {pages} pages of A4")
        browser.close()
        validated([file for _, file in files])
    for what in faults[:60]:
        print(f"FAULT {what}", file=sys.stderr)
    if faults:
        sys.exit(f"{len(faults)} faults in the pages")
    print("pages: no message, no request, stop lines on every printed page, nothing overlaps")


def metric_free(report):
    """Stop lines have no figures in them; what has would be said in other units."""
    kept = [stop for stop in report["stops"] if not re.search(r"\d", stop["text"])]
    return {**report, "stops": kept}


main()
