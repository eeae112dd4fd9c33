//! Maps of panels: what they show is what the plan counts, distances are never drawn too small, and
//! every word can be read.
#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "what a test cannot set up has to fail it"
)]

use std::collections::BTreeMap;

use super::demo_photos;
use plymend::Answer;
use plymend::quantity::Case;
use plymend::read::job::{Job, Named, TextFolder, job};
use plymend::report::Report;
use plymend::report::maps::{Drawing, Mapped, Maps, Outline, of_job, outlines};
use plymend::surface::placed::PlacedPanel;

const HEAD: &str = "format: 1, air_c: 20, humidity_percent: 55, topcoat: brush_enamel,
    underseal: none_there, old_paint: Clear(by: \"a laboratory\", date: \"May\")";
const MAKE_UP: &str = "laminate: (thickness_mm: 3), material: hand_laid_polyester, roles: [skin],
    back: reached";
const HOLE: &str = "(id: 1, panel: \"sheet\", kind: hole, edges_move: no, place: On(400, 300),
    cause: Closed(what: \"a kerb\"), shape: Patch(length_mm: 120, width_mm: 60, angle_deg: 15))";
const REFERRED: &str = "(id: 2, panel: \"sheet\", kind: hole, place: On(1080, 660),
    shape: Patch(length_mm: 60, width_mm: 60))";
const PAINT: &str = "(id: 3, panel: \"sheet\", kind: blisters, layer: paint, depth: paint,
    place: On(180, 600), shape: Patch(length_mm: 80, width_mm: 60))";

fn read(files: &[(&str, &str)]) -> Job {
    let mut folder = TextFolder::default();
    for (name, text) in files {
        folder.put(name, text);
    }
    job(&folder, "survey.ron", &Named::default()).unwrap_or_else(|faults| panic!("{faults:#?}"))
}

fn flat_sheet() -> String {
    format!(
        "(format: 1, name: \"sheet\", surface: Flat(length_mm: 1200, width_mm: 800), {MAKE_UP},
          fixings: Listed([(name: \"hinge <1> & \\\"pin\\\"\", at: (1100, 700), carries: hinge, state: sound)]),
          regions: [(name: \"o'clock <i>side</i>\", outline: [(0, 0), (600, 0), (600, 800), (0, 800)])],
          landmarks: [(name: \"lower bolt\", at: (250, 200))])"
    )
}

fn on_sheet(panel: &str, marks: &[String], more: &str) -> Job {
    let marks = marks.join(",\n");
    let survey = format!(
        "({HEAD}, {more} panels: [(name: \"sheet\", file: \"sheet.ron\")], marks: [{marks}])"
    );
    read(&[("survey.ron", &survey), ("sheet.ron", panel)])
}

fn demo() -> Job {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/harbour-shuttle");
    let mut texts = TextFolder::default();
    for entry in std::fs::read_dir(folder).expect("the demonstration") {
        let path = entry.expect("listed").path();
        if path.extension().is_some_and(|end| end == "ron") {
            let name = path.file_name().and_then(|name| name.to_str()).expect("plain");
            texts.put(name, &std::fs::read_to_string(&path).expect("a text"));
        }
    }
    demo_photos::put(&mut texts);
    job(&texts, "survey-a.ron", &Named::default()).unwrap_or_else(|f| panic!("{f:#?}"))
}

struct Made {
    maps: Maps,
    outlines: Vec<Outline>,
    report: Report,
}

fn made(job: &Job, look: impl FnOnce(&Made, &[PlacedPanel<'_>], &Answer<'_>)) {
    let panels = plymend::skins(job).expect("skins");
    let answer = plymend::work(job, &panels).expect("an answer");
    let report = plymend::assess(job, false).expect("a report");
    let of = Mapped {
        job,
        panels: &panels,
        findings: &answer.findings,
        plan: &answer.plan,
        grids: &answer.grids,
        report: &report,
    };
    let (maps, outlines) = (of_job(&of).expect("maps"), outlines(&of).expect("outlines"));
    look(&Made { maps, outlines, report }, &panels, &answer);
}

fn drawings(maps: &Maps) -> Vec<&Drawing> {
    let of_panels = maps.panels.iter().flat_map(|one| one.stood.iter().chain(&one.flat));
    maps.overview.iter().chain(of_panels).chain([&maps.key]).collect()
}

/// Areas by name of the closed lines of a drawing, as they stand in it, mm2 of skin: the shoelace
/// formula (textbook); a hole runs the other way round.
fn drawn_mm2(svg: &str) -> BTreeMap<String, f64> {
    let scale: f64 = attribute(svg, "data-scale").expect("a scale").parse().expect("a figure");
    let mut found = BTreeMap::new();
    for line in svg.lines().filter(|line| line.starts_with("<path data-what=")) {
        let what = attribute(line, "data-what").expect("a name");
        let path = attribute(line, " d").expect("a path");
        let mut area = 0.0;
        for ring in path.split('Z').filter(|ring| !ring.is_empty()) {
            let points: Vec<(f64, f64)> = ring
                .split(['M', 'L'])
                .filter_map(|one| one.split_once(' '))
                .map(|(x, y)| (x.parse().unwrap(), y.parse().unwrap()))
                .collect();
            let next = points.iter().cycle().skip(1);
            area += points.iter().zip(next).map(|(a, b)| a.0 * b.1 - b.0 * a.1).sum::<f64>() / 2.0;
        }
        assert!(
            found.insert(what.to_owned(), area.abs() * scale * scale).is_none(),
            "{what} twice"
        );
    }
    found
}

fn attribute<'t>(text: &'t str, name: &str) -> Option<&'t str> {
    let start = format!("{name}=\"");
    let after = &text[text.find(&start)? + start.len()..];
    after.split('"').next()
}

/// Every area that is drawn whole agrees with the figure of the plan; gives how many there were.
fn areas_agree(made: &Made, answer: &Answer<'_>, within: f64) -> usize {
    let mut compared = 0;
    for map in &made.maps.panels {
        let drawn = drawn_mm2(&map.flat.as_ref().expect("laid flat").svg);
        for (what, drawn_mm2) in drawn {
            let (kind, name) = what.split_once(' ').expect("a kind and a name");
            let front = !name.ends_with(" behind");
            let name = name.trim_end_matches(" behind");
            let (repair, ply) = name.split_once('-').unwrap_or((name, "0"));
            let repair = answer.plan.repairs.iter().find(|one| one.id == repair);
            let counted_mm2 = match (kind, repair) {
                ("seen", _) => {
                    let mark: u32 = name.parse().expect("a number");
                    let line = made.report.findings.iter().find(|one| one.mark == mark);
                    line.and_then(|line| line.area_m2).expect("a patch") * 1e6
                }
                ("likely" | "high", _) => {
                    let mark: u32 = name.parse().expect("a number");
                    let line = made.report.findings.iter().find(|one| one.mark == mark);
                    let grown = line.and_then(|line| line.grown_area_m2).expect("a patch");
                    if kind == "high" { grown.high * 1e6 } else { grown.likely * 1e6 }
                }
                ("ply", Some(repair)) => {
                    let number: usize = ply.parse().expect("a number");
                    repair.areas.get(Case::Likely).plies[number - 1].area_mm2
                }
                ("removal", Some(repair)) if front => repair.areas.get(Case::Likely).removal_mm2,
                ("prepared", Some(repair)) if front => repair.areas.get(Case::High).prepared_mm2,
                ("prepared", Some(repair)) => repair.areas.get(Case::High).prepared_back_mm2,
                _ => continue,
            };
            let off = drawn_mm2 / counted_mm2 - 1.0;
            assert!(off.abs() < within, "{}, {what}: {drawn_mm2:.0} {counted_mm2:.0}", map.panel);
            compared += 1;
        }
    }
    compared
}

#[test]
fn drawn_areas_are_those_of_the_plan_on_the_demonstration() {
    let job = demo();
    made(&job, |made, _, answer| {
        let compared = areas_agree(made, answer, 0.005);
        assert!(compared > 40, "{compared}");
    });
}

#[test]
fn drawn_areas_are_those_of_the_plan_on_flat_and_crowned_panels() {
    let marks = [HOLE.to_owned(), PAINT.to_owned()];
    made(&on_sheet(&flat_sheet(), &marks, ""), |made, _, answer| {
        assert!(areas_agree(made, answer, 0.005) > 9);
        // A flat panel is drawn once.
        assert!(made.maps.panels[0].stood.is_none());
    });
    let survey = format!(
        "({HEAD}, panels: [(name: \"sheet\", generic: \"lid\",
          size: (length_mm: 1100, width_mm: 900, crown_along_mm: 40, crown_across_mm: 35))],
          marks: [(id: 1, panel: \"sheet\", kind: crazing, depth: first_glass, place: On(550, 450),
            cause: Closed(what: \"a kerb\"), shape: Patch(length_mm: 160, width_mm: 90, angle_deg: 20))])"
    );
    made(&read(&[("survey.ron", &survey)]), |made, _, answer| {
        assert!(areas_agree(made, answer, 0.005) > 3);
        assert!(made.maps.panels[0].stood.is_some());
    });
}

const QUARTER: &str = "surface: Moulding(kind: quarter, length_mm: 900, width_mm: 700,
    crown_along_mm: 30, crown_across_mm: 60)";

#[test]
fn a_mirrored_panel_is_seen_from_outside() {
    seen_from_outside("mirror_of: \"nearside.ron\"");
}

#[test]
fn a_panel_whose_grid_was_begun_at_the_other_end_is_seen_from_outside() {
    seen_from_outside(&format!("u_runs: to_the_left, {QUARTER}"));
}

/// A body file tells that a panel cannot be as its own file has it, and what then to look at.
#[test]
fn a_panel_on_its_body_with_the_wrong_hand_is_told() {
    let said = |front: &str, place: &str| {
        let front = format!("(format: 1, name: \"front\", {front}, fixings: none_seen)");
        let body = format!(
            "(format: 1, name: \"cart\", panels: [
              (file: \"front.ron\", at_mm: (0, 400, 300), turned_deg: -90{place}),
              (file: \"tail.ron\", at_mm: (2000, 400, 300), turned_deg: -90)])"
        );
        let tail = format!("(format: 1, name: \"tail\", {QUARTER}, fixings: none_seen)");
        let survey = format!("({HEAD}, body: \"body.ron\", marks: [])");
        let job = read(&[
            ("survey.ron", &survey),
            ("body.ron", &body),
            ("front.ron", &front),
            ("tail.ron", &tail),
        ]);
        let mut said = String::new();
        made(&job, |made, _, _| said = made.maps.overview[0].says.clone());
        said
    };
    let wrong = said(QUARTER, "");
    assert!(
        wrong.contains("disagree on left and right") && wrong.contains("drawn: front."),
        "{wrong}"
    );
    let right = said(&format!("u_runs: to_the_left, {QUARTER}"), "");
    assert!(!right.contains("disagree"), "{right}");
    // A lid no lower than the rest is taken to lie until the file says that it stands.
    let lid = QUARTER.replace("quarter", "lid");
    let (taken, stands) = (said(&lid, ""), said(&lid, ", lies: false"));
    assert!(taken.contains("drawn lying: front."), "{taken}");
    assert!(stands.contains("drawn: front.") && !stands.contains("drawn lying"), "{stands}");
    // Lying or standing, a wrong hand is wrong.
    assert!(said(&lid, ", lies: true").contains("disagree"));
    let lid = format!("u_runs: to_the_left, {lid}");
    assert!(!said(&lid, ", lies: true").contains("disagree"));
}

fn seen_from_outside(offside: &str) {
    let panel = |name: &str, more: &str| {
        format!("(format: 1, name: {name:?}, {more}, {MAKE_UP}, fixings: none_seen)")
    };
    let (side, other) = (panel("nearside", QUARTER), panel("offside", offside));
    let mark = |id: u32, panel: &str, u: f64, v: f64| {
        format!(
            "(id: {id}, panel: {panel:?}, kind: hole, edges_move: no, place: On({u}, {v}),
              cause: Closed(what: \"a kerb\"), shape: Patch(length_mm: 30, width_mm: 30))"
        )
    };
    let marks: Vec<String> = [("nearside", 0), ("offside", 10)]
        .iter()
        .flat_map(|(panel, from)| {
            [(150.0, 150.0), (750.0, 150.0), (450.0, 550.0)]
                .into_iter()
                .zip(1 + from..)
                .map(|((u, v), id)| mark(id, panel, u, v))
        })
        .collect();
    let survey = format!(
        "({HEAD}, panels: [(name: \"nearside\", file: \"nearside.ron\"),
          (name: \"offside\", file: \"offside.ron\")], marks: [{}])",
        marks.join(",")
    );
    let job = read(&[("survey.ron", &survey), ("nearside.ron", &side), ("offside.ron", &other)]);
    made(&job, |made, _, _| {
        let middle = |mark: u32| {
            let name = format!("seen {mark}");
            let one = made.outlines.iter().find(|one| one.what == name).expect("drawn");
            let all = one.lines_mm.iter().flatten();
            let count = all.clone().count() as f64;
            all.fold([0.0, 0.0], |sum, [x, y]| [sum[0] + x / count, sum[1] + y / count])
        };
        // y is down on the sheet: what has the larger v stands higher.
        for first in [1, 11] {
            assert!(middle(first + 2)[1] < middle(first)[1] - 20.0);
        }
        assert!(middle(1)[0] < middle(2)[0] - 20.0, "u runs to the right from outside");
        assert!(middle(11)[0] > middle(12)[0] + 20.0, "and to the left on the other hand");
        for map in &made.maps.panels {
            let (first, second) = if map.panel == "nearside" { (1, 2) } else { (12, 11) };
            for drawing in map.stood.iter().chain(&map.flat) {
                for (mark, part) in [(first, "lower left"), (second, "lower right")] {
                    let said = format!("Mark {mark}, hole, to be repaired, {part}.");
                    assert!(drawing.says.contains(&said), "{said} {}", drawing.says);
                }
            }
            assert!(map.stood.is_some());
        }
    });
}

fn inside(ring: &[[f64; 2]], at: [f64; 2]) -> bool {
    let mut within = false;
    for (a, b) in ring.iter().zip(ring.iter().cycle().skip(1)) {
        if (a[1] > at[1]) != (b[1] > at[1])
            && at[0] < a[0] + (at[1] - a[1]) / (b[1] - a[1]) * (b[0] - a[0])
        {
            within = !within;
        }
    }
    within
}

/// Whatever a fixing refers is drawn reaching inside the line round it: marks taped at growing
/// distances, some of them referred by their place error alone.
#[test]
fn no_mark_that_a_fixing_refers_is_drawn_outside_its_line() {
    for (carries, limit_mm) in [("hinge", 150.0), ("seat", 300.0), ("body_mount", 150.0)] {
        let panel = format!(
            "(format: 1, name: \"sheet\", surface: Flat(length_mm: 1400, width_mm: 1200), {MAKE_UP},
              fixings: Listed([(name: \"fixing\", at: (1000, 900), carries: {carries}, state: sound)]),
              landmarks: [(name: \"a\", at: (100, 100)), (name: \"b\", at: (1300, 100))])"
        );
        let (mut referred, mut free, mut by_error) = (0, 0, 0);
        for step in 0..14 {
            // Along the straight line to the fixing, from well inside its distance to well outside.
            let away = limit_mm - 10.0 + 8.0 * f64::from(step);
            let (u, v) = (1000.0_f64 - 0.6 * away, 900.0_f64 - 0.8 * away);
            let (a, b) = ((u - 100.0).hypot(v - 100.0), (u - 1300.0).hypot(v - 100.0));
            let mark = format!(
                "(id: 1, panel: \"sheet\", kind: hole, edges_move: no,
                  place: Taped(a: (\"a\", {a:.1}), b: (\"b\", {b:.1}), side: upper),
                  cause: Closed(what: \"a kerb\"), shape: Patch(length_mm: 40, width_mm: 40, angle_deg: 0))"
            );
            made(&on_sheet(&panel, &[mark], ""), |made, _, answer| {
                let refers =
                    answer.findings[0].judged.reasons.iter().any(|one| one.carries.is_some());
                let named = |what: &str| {
                    made.outlines
                        .iter()
                        .find(|one| one.what == what)
                        .unwrap_or_else(|| panic!("{what}"))
                };
                let ring = &named("ring fixing").lines_mm[0];
                let meets = named("high 1").lines_mm.iter().flatten().any(|at| inside(ring, *at));
                assert!(
                    !refers || meets,
                    "{carries}: {away} mm away is referred and drawn outside"
                );
                // The bare distance would not do.
                let scale = named("high 1").scale;
                let reach = named("high 1").lines_mm.iter().flatten().map(|at| {
                    let centre = ring_middle(ring);
                    (at[0] - centre[0]).hypot(at[1] - centre[1]) * scale
                });
                let nearest = reach.fold(f64::INFINITY, f64::min);
                by_error += usize::from(refers && nearest > limit_mm + 5.0 + 0.5);
                if refers { referred += 1 } else { free += 1 }
            });
        }
        assert!(referred > 0 && free > 0 && by_error > 0, "{carries} {referred} {free} {by_error}");
    }
}

/// The middle of a whole ring.
fn ring_middle(ring: &[[f64; 2]]) -> [f64; 2] {
    let of = |axis: usize| {
        let all = ring.iter().map(|at| at[axis]);
        let low = all.clone().fold(f64::INFINITY, f64::min);
        f64::midpoint(low, all.fold(f64::NEG_INFINITY, f64::max))
    };
    [of(0), of(1)]
}

fn labels_can_be_read(maps: &Maps) {
    for drawing in drawings(maps) {
        let boxes = drawing.label_boxes();
        for (number, one) in boxes.iter().enumerate() {
            let inside = one.low.x >= 0.0
                && one.low.y >= 0.0
                && one.high.x <= drawing.width_mm
                && one.high.y <= drawing.height_mm;
            assert!(inside, "{}: {one:?} leaves the sheet", drawing.title);
            for other in &boxes[number + 1..] {
                assert!(!one.meets(other), "{}: {one:?} {other:?}", drawing.title);
            }
        }
    }
}

#[test]
fn no_two_labels_meet_where_forty_marks_stand_close() {
    let marks: Vec<String> = (0..40)
        .map(|n| {
            let (u, v) = (300 + 12 * (n % 8), 300 + 12 * (n / 8));
            format!(
                "(id: {}, panel: \"sheet\", kind: chip, place: On({u}, {v}),
                  shape: Spot(diameter_mm: 6))",
                n + 1
            )
        })
        .collect();
    made(&on_sheet(&flat_sheet(), &marks, ""), |made, _, _| {
        labels_can_be_read(&made.maps);
        let flat = made.maps.panels[0].flat.as_ref().expect("laid flat");
        assert!(flat.label_boxes().len() > 42);
        for mark in 1..=40 {
            assert!(flat.svg.contains(&format!(">{mark}: ")), "{mark}");
        }
    });
}

/// Well-formed as XML 1.0 has it, for what these drawings use: elements closed in order, attributes
/// in double quotes and once each, no bare `<` or `&`.
fn well_formed(text: &str) {
    let mut open: Vec<&str> = Vec::new();
    let mut rest = text;
    while let Some(at) = rest.find('<') {
        entities(&rest[..at]);
        let end = rest[at..].find('>').expect("a tag that ends") + at;
        let tag = &rest[at + 1..end];
        assert!(!tag.contains('<'), "{tag}");
        rest = &rest[end + 1..];
        if let Some(name) = tag.strip_prefix('/') {
            assert_eq!(open.pop(), Some(name));
            continue;
        }
        let (body, alone) = tag.strip_suffix('/').map_or((tag, false), |body| (body, true));
        let name = body.split(' ').next().unwrap_or_default();
        let mut attributes = body[name.len()..].trim();
        let mut names = Vec::new();
        while !attributes.is_empty() {
            let (key, after) = attributes.split_once("=\"").expect("a quoted attribute");
            let (value, more) = after.split_once('"').expect("a closed quote");
            entities(value);
            assert!(!names.contains(&key), "{key} twice");
            names.push(key);
            attributes = more.trim();
        }
        if !alone {
            open.push(name);
        }
    }
    assert!(open.is_empty() && rest.trim().is_empty(), "{open:?} {rest}");
}

fn entities(text: &str) {
    for part in text.split('&').skip(1) {
        let known = ["amp;", "lt;", "gt;", "quot;", "#39;"];
        assert!(known.iter().any(|one| part.starts_with(one)), "&{part}");
    }
}

#[test]
fn drawings_are_well_formed_stand_beside_each_other_and_stay_the_same() {
    let marks = [HOLE.to_owned(), REFERRED.to_owned(), PAINT.to_owned()];
    let unseen = "not_examined: [(what: \"the sheet's <back> & more\", why: \"\\\"shut\\\"\", panel: \"sheet\", side: back)],";
    let job = on_sheet(&flat_sheet(), &marks, unseen);
    made(&job, |made, _, _| {
        for drawing in drawings(&made.maps) {
            let stops = ["do <not> \"drive\" & 'carry'".to_owned()];
            let whole = drawing.alone(&stops, &["mark 2: referred".to_owned()]);
            assert!(whole.contains("STOP: do &lt;not&gt; &quot;drive&quot; &amp; &#39;carry&#39;"));
            assert!(whole.contains("left out: mark 2: referred"));
            for text in [&drawing.svg, &whole] {
                well_formed(text);
                assert!(text.starts_with("<svg ") && text.contains(" viewBox=\"0 0 "));
                assert!(
                    text.contains("role=\"img\"")
                        && text.contains("<title>")
                        && text.contains("<desc>")
                );
                for never in ["<script", "<style", " id=", " class=", "href", "url(", "style="] {
                    assert!(!text.contains(never), "{never}");
                }
                for size in text.split("font-size=\"").skip(1) {
                    let size: f64 = size.split('"').next().unwrap().parse().expect("a size");
                    assert!(size >= 2.3);
                }
            }
        }
        let flat = made.maps.panels[0].flat.as_ref().expect("laid flat");
        assert!(flat.svg.contains("hinge &lt;1&gt; &amp; &quot;pin&quot;"));
        assert!(flat.svg.contains("o&#39;clock &lt;i&gt;side&lt;/i&gt;"));
        assert!(flat.svg.contains(">2: refer</text>") && flat.svg.contains("data-what=\"seen 2\""));
        let drawn = drawn_mm2(&flat.svg);
        assert!(drawn.keys().any(|what| what.starts_with("ply R1-")));
        assert!(!drawn.contains_key("removal R3"), "a referred mark has no work");
        let says = made.maps.panels[0].says.join(" ");
        assert!(says.contains("Not examined (the back): the sheet's <back> & more"), "{says}");
        let again = on_sheet(&flat_sheet(), &marks, unseen);
        let before = made.maps.clone();
        self::made(&again, |made, _, _| assert!(made.maps == before));
    });
}

#[test]
fn what_nobody_examined_is_hatched_and_nothing_else() {
    let hatched = |more: &str| {
        let mut found = (false, false);
        made(&on_sheet(&flat_sheet(), &[HOLE.to_owned()], more), |made, _, _| {
            let svg = &made.maps.panels[0].flat.as_ref().expect("laid flat").svg;
            let width =
                |line: &&str| line.contains("stroke-width=\"0.12\"") && line.contains("<path d");
            let hatch = svg.lines().filter(width).filter(|line| line.matches('M').count() > 15);
            let broken = hatch.clone().any(|line| line.contains("dasharray"));
            found = (hatch.count() > 0, broken);
        });
        found
    };
    assert_eq!(hatched(""), (false, false));
    let said = |fields: &str| format!("not_examined: [(what: \"it\", why: \"shut\", {fields})],");
    assert_eq!(hatched(&said("panel: \"sheet\"")), (true, false));
    assert_eq!(hatched(&said("panel: \"sheet\", side: back")), (true, true));
    assert_eq!(
        hatched(&said("panel: \"sheet\", side: outer, region: \"o'clock <i>side</i>\"")),
        (true, false)
    );
    // Without fields the words decide.
    assert_eq!(
        hatched("not_examined: [(what: \"behind the sheet\", why: \"shut\")],"),
        (true, true)
    );
    assert_eq!(hatched("not_examined: [(what: \"the floor\", why: \"shut\")],"), (false, false));
}

#[test]
fn work_and_marks_that_come_over_a_seam_are_drawn_on_the_neighbour_and_said() {
    let panel = |name: &str| {
        format!(
            "(format: 1, name: {name:?}, surface: Flat(length_mm: 600, width_mm: 800), {MAKE_UP},
              fixings: none_seen)"
        )
    };
    let body = "(format: 1, name: \"b\", panels: [(file: \"left.ron\"), (file: \"right.ron\")],
        seams: [(one: (panel: \"left\", along: [On(600, 0), On(600, 800)]),
                 other: (panel: \"right\", along: [On(0, 0), On(0, 800)]))])";
    let survey = format!(
        "({HEAD}, body: \"body.ron\", marks: [(id: 1, panel: \"left\", kind: hole, edges_move: no,
          place: On(570, 400), cause: Closed(what: \"a kerb\"),
          shape: Patch(length_mm: 40, width_mm: 40, angle_deg: 0))])"
    );
    let (left, right) = (panel("left"), panel("right"));
    let files = [
        ("survey.ron", survey.as_str()),
        ("body.ron", body),
        ("left.ron", &left),
        ("right.ron", &right),
    ];
    made(&read(&files), |made, _, answer| {
        assert_eq!(answer.plan.repairs[0].panels.len(), 2);
        let map = made.maps.panels.iter().find(|one| one.panel == "right").expect("a map");
        let says = map.says.join(" ");
        assert!(says.contains("Work at mark 1 of the left may come over the seam"), "{says}");
        assert!(map.marks.is_empty());
        let svg = &map.flat.as_ref().expect("laid flat").svg;
        assert!(svg.contains("stroke=\"#00507a\""), "its work is drawn");
        // A body without places: the panels stand side by side.
        assert_eq!(made.maps.overview.len(), 1);
        assert!(made.maps.overview[0].says.contains("Nobody has said where they are"));
    });
}

#[test]
fn the_demonstration_has_maps_that_can_be_read_and_stay_small() {
    let job = demo();
    made(&job, |made, _, answer| {
        labels_can_be_read(&made.maps);
        for drawing in drawings(&made.maps) {
            well_formed(&drawing.svg);
            let size = drawing.svg.len();
            assert!(size < 60_000, "{} has {size} bytes", drawing.title);
            assert!(drawing.width_mm <= 180.0 && drawing.height_mm < 260.0, "{}", drawing.title);
        }
        for (finding, decision) in answer.findings.iter().zip(&answer.plan.decisions) {
            let mark = finding.mark();
            let map = made.maps.panels.iter().find(|one| one.panel == mark.panel).expect("a map");
            assert!(map.marks.contains(&mark.id));
            let said = format!(">{}: {}</text>", mark.id, decision.action.words());
            assert!(map.flat.as_ref().expect("laid flat").svg.contains(&said), "{said}");
            let number = format!(">{}</text>", mark.id);
            let shown = made.maps.overview.iter().any(|one| one.svg.contains(&number));
            assert!(shown, "mark {} is on no view of the body", mark.id);
        }
        // A view names panels it shows and no panel that looks another way.
        let view = |name: &str| {
            let mut all = made.maps.overview.iter();
            all.find(|one| one.title.ends_with(name)).unwrap_or_else(|| panic!("{name}"))
        };
        let near = view("from the nearside");
        assert!(
            near.says.contains("gate skin, nearside")
                && !near.says.contains("gate skin, offside, mark")
        );
        assert!(!near.svg.contains(">rear valance</text>"));
        for one in &made.maps.overview {
            let doubt = ["disagree on left", "does not say what lies"];
            assert!(doubt.iter().all(|words| !one.says.contains(words)), "{}", one.says);
        }
    });
}
