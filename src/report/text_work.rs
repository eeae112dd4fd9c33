//! Marks, repairs, materials and paint as text.

use super::build::numbers;
use super::model::*;
use super::text::{Page, Wide, left_out, of_marks, three};
use crate::rules::id;

/// Every mark.
pub(crate) fn marks(page: &mut Page, report: &Report) {
    page.heading("MARKS: as seen, then as they may be found (low / likely / high)");
    for one in &report.findings {
        let size = match (one.length_mm, &one.grown_length_mm, one.area_m2, &one.grown_area_m2) {
            (Some(seen), Some(grown), _, _) => format!(
                "{seen:.0} mm long, {:.0} / {:.0} / {:.0} mm",
                grown.low, grown.likely, grown.high
            ),
            (_, _, Some(seen), Some(grown)) => format!(
                "{seen:.4} m², {:.4} / {:.4} / {:.4} m²",
                grown.low, grown.likely, grown.high
            ),
            _ => "no size".to_owned(),
        };
        let assumed = if one.depth_assumed { ", depth assumed" } else { "" };
        let depth = if one.depth.low == one.depth.high {
            one.depth.low.clone()
        } else {
            format!("{} / {} / {}", one.depth.low, one.depth.likely, one.depth.high)
        };
        let action = match one.action.as_str() {
            "held" => format!("HELD by mark {}", numbers(&one.held_by)),
            "repair" => format!("repair {}", one.repair.clone().unwrap_or_default()),
            "refer" => "REFER".to_owned(),
            other => other.to_owned(),
        };
        page.line(
            2,
            &format!(
                "{:>2} {}, {}, {}: {} at u {:.0} v {:.0} {}; {size}; {depth}{assumed}; {action}",
                one.mark,
                one.panel,
                one.region,
                one.side,
                one.kind,
                one.place_mm.u,
                one.place_mm.v,
                place_error(one)
            ),
        );
        for cause in &one.causes {
            let state = if cause.open { "cause, still at work" } else { "cause, closed" };
            page.line(5, &format!("{state}: {}", cause.what));
        }
        let mut seen = one.seen.clone();
        if one.lips_move != "not tried" {
            seen.push(format!("lips move: {}", one.lips_move));
        }
        seen.extend(one.back_length_mm.map(|length| format!("{length:.0} mm long on the back")));
        seen.extend(one.worst_per_dm2.map(|count| format!("worst {count} blisters per dm²")));
        seen.extend(one.mean_per_dm2.map(|count| format!("mean {count} blisters per dm²")));
        if !seen.is_empty() {
            page.line(5, &format!("seen: {}", seen.join(", ")));
        }
        if let Some(reading) = &one.reading {
            page.line(5, reading);
        }
        for note in &one.notes {
            let rules = page.rules(&[&note.rule]);
            page.line(5, &format!("{} {rules}", note.text));
        }
        if !one.as_recorded.is_empty() {
            page.line(5, &format!("as recorded: {}", one.as_recorded));
        }
    }
    let rules = page.rules(&[id::MOVE_CAP, id::GROW_STRAIGHT, id::DEPTH_ASSUMED]);
    page.line(
        2,
        &format!("growth by kind of mark, the larger of a factor and a least move: rules GROW-... and MOVE-... below {rules}"),
    );
}

/// Instead of figures where no mark is repaired here: a nought would read as a price.
const NOTHING_WORKED_OUT: &str = "no quantities: no mark is repaired here";

/// How good a place is; both ways where it is clearly longer one way.
fn place_error(one: &FindingLine) -> String {
    let ellipse = one.place_ellipse;
    let all = format!("± {:.0} mm", one.place_error_mm);
    if ellipse.long_mm < 1.5 * ellipse.short_mm {
        return all;
    }
    format!(
        "{all} ({:.0} mm at {:.0}° from u, {:.0} mm across that)",
        ellipse.long_mm, ellipse.angle_deg, ellipse.short_mm
    )
}

/// The job in one paragraph.
pub(crate) fn in_short(page: &mut Page, report: &Report) {
    page.heading("IN SHORT");
    let with = |action: &str| {
        report
            .findings
            .iter()
            .filter(|finding| finding.action == action)
            .map(|finding| finding.mark)
            .collect::<Vec<u32>>()
    };
    let mut said = vec![format!(
        "{} to repair in {}",
        with("repair").len(),
        plural(report.repairs.len(), "repair")
    )];
    for (action, word) in [("refer", "referred"), ("held", "held"), ("watch", "watched")] {
        let marks = with(action);
        if !marks.is_empty() {
            said.push(format!("{} {word} ({})", marks.len(), of_marks(&marks)));
        }
    }
    page.line(2, &format!("{}: {}", plural(report.findings.len(), "mark"), said.join(", ")));
    let cases = &report.materials;
    let out = left_out(&cases.high.excludes);
    if report.repairs.is_empty() {
        page.line(2, &format!("{NOTHING_WORKED_OUT}{out}"));
        return;
    }
    let open = !cases.high.excludes.is_empty();
    let kg =
        |of: fn(&Materials) -> f64| mass(of(&cases.low), of(&cases.likely), of(&cases.high), open);
    page.line(
        2,
        &format!(
            "net, low / likely / high: glass {}, resin {}, gel coat {}{out}",
            kg(|case| case.glass_kg),
            kg(|case| case.resin_kg),
            kg(|case| case.gel_coat_kg)
        ),
    );
    let dated = report.repairs.iter().filter(|repair| repair.waits_for.is_empty()).count();
    let stopped = report.repairs.iter().filter(|repair| !repair.blocked_by.is_empty()).count();
    page.line(
        2,
        &format!(
            "of {}: {dated} free of open causes and of drying, {stopped} with a blocked step; hours, timetable and price are not worked out yet",
            plural(report.repairs.len(), "repair")
        ),
    );
}

fn plural(count: usize, noun: &str) -> String {
    if count == 1 { format!("1 {noun}") } else { format!("{count} {noun}s") }
}

/// Masses in kg, or in g where they are small.
fn mass(low: f64, likely: f64, high: f64, open: bool) -> String {
    if high < 0.5 {
        three(low * 1000.0, likely * 1000.0, high * 1000.0, 0, "g", open)
    } else {
        three(low, likely, high, 2, "kg", open)
    }
}

/// Every repair.
pub(crate) fn repairs(page: &mut Page, report: &Report) {
    page.heading("REPAIRS (low / likely / high)");
    if report.repairs.is_empty() {
        page.line(2, "none");
    }
    for one in &report.repairs {
        let cases = &one.scenarios;
        let method = if cases.low.method == cases.high.method {
            cases.high.method.clone()
        } else {
            format!("{} / {} / {}", cases.low.method, cases.likely.method, cases.high.method)
        };
        page.line(
            2,
            &format!("{} {}, {}, {}: {method}", one.id, one.panel, one.side, of_marks(&one.marks)),
        );
        let areas = |of: fn(&Scenario) -> f64| {
            three(of(&cases.low), of(&cases.likely), of(&cases.high), 4, "m²", false)
        };
        let rules = page.rules(&[id::CRACK_WIDTH, id::UNION]);
        page.line(5, &format!("removal {} {rules}", areas(|case| case.removal_area_m2)));
        let rules = page.rules(&ground_rules(cases.high.depth_mm > 0.0));
        page.line(5, &format!("ground {} {rules}", areas(|case| case.ground_area_m2)));
        let rules = page.rules(&[id::PREPARED]);
        page.line(5, &format!("prepared {} {rules}", areas(|case| case.prepared_area_m2)));
        if cases.high.prepared_back_area_m2 > 0.0 {
            let rules = page.rules(&[id::BACKING_PREPARED]);
            page.line(
                5,
                &format!(
                    "prepared on the back {} {rules}",
                    areas(|case| case.prepared_back_area_m2)
                ),
            );
        }
        if page.wide == Wide::Working {
            plies(page, "low", &cases.low);
            plies(page, "likely", &cases.likely);
        }
        plies(page, "high", &cases.high);
        for wait in &one.waits_for {
            let dates = if wait.contains("wet") {
                "no date"
            } else {
                "dates: day X + n after it is put right"
            };
            page.line(5, &format!("waits: {wait}; {dates}"));
        }
        if !one.blocked_by.is_empty() {
            page.line(
                5,
                &format!(
                    "not to be started, timed or bought for until these are lifted: {}",
                    one.blocked_by.join(", ")
                ),
            );
        }
    }
}

fn ground_rules(glass: bool) -> Vec<&'static str> {
    if glass {
        vec![id::TAPER, id::PLY_STEP, id::COAT_GLASS]
    } else {
        vec![id::COAT_GEL_CRACK, id::COAT_GEL_AREA]
    }
}

fn plies(page: &mut Page, case: &str, of: &Scenario) {
    for ply in &of.plies {
        let reach = if ply.reach_mm > 0.0 {
            format!("{:.0} mm beyond what is taken down that deep", ply.reach_mm)
        } else {
            "on part of the removal".to_owned()
        };
        let rules = if ply.side == "back" {
            page.rules(&[id::BACKING_REACH, id::BACKING_THIN])
        } else {
            page.rules(&[id::PLY_OVER, id::TAPER])
        };
        page.line(
            5,
            &format!(
                "{case}: {} ply {}, {}, {reach}: {:.4} m², glass {:.3} kg, resin {:.3} kg {rules}",
                ply.side, ply.sequence, ply.reinforcement, ply.area_m2, ply.glass_kg, ply.resin_kg
            ),
        );
    }
    if of.tissue.area_m2 > 0.0 {
        let rules = page.rules(&[id::TISSUE, id::TISSUE_RESIN]);
        page.line(
            5,
            &format!(
                "{case}: tissue {:.4} m², resin {:.3} kg {rules}",
                of.tissue.area_m2, of.tissue.resin_kg
            ),
        );
    }
    if of.gel_coat_area_m2 > 0.0 {
        let rules = page.rules(&[id::GEL_COVERAGE]);
        page.line(
            5,
            &format!(
                "{case}: gel or flow coat {:.4} m², {:.3} kg {rules}",
                of.gel_coat_area_m2, of.gel_coat_kg
            ),
        );
    }
}

/// Net materials.
pub(crate) fn materials(page: &mut Page, report: &Report) {
    let cases = &report.materials;
    let out = left_out(&cases.high.excludes);
    let open = !cases.high.excludes.is_empty();
    page.heading("MATERIALS, net as poured, no waste (low / likely / high)");
    if report.repairs.is_empty() {
        page.line(2, &format!("{NOTHING_WORKED_OUT}{out}"));
        return;
    }
    let kg =
        |of: fn(&Materials) -> f64| mass(of(&cases.low), of(&cases.likely), of(&cases.high), open);
    let rules = page.rules(&[id::AS_POURED]);
    page.line(2, &format!("glass {}{out} {rules}", kg(|case| case.glass_kg)));
    for mat in &cases.high.mats {
        page.line(
            5,
            &format!(
                "of it in the high case {}: {:.3} m², {:.3} kg",
                mat.reinforcement, mat.area_m2, mat.glass_kg
            ),
        );
    }
    let tissue =
        three(cases.low.tissue_m2, cases.likely.tissue_m2, cases.high.tissue_m2, 2, "m²", open);
    page.line(2, &format!("tissue {tissue}{out}"));
    let known = cases.high.resins.iter().all(|resin| resin.kind != "resin, kind not known");
    let kinds: Vec<&str> = cases.high.resins.iter().map(|resin| resin.kind.as_str()).collect();
    let word = if kinds.is_empty() {
        "resin".to_owned()
    } else if known {
        format!("resin ({})", kinds.join(", "))
    } else {
        kinds.join(", ")
    };
    let rules = page.rules(&[id::RESIN_RATIO, id::TISSUE_RESIN]);
    page.line(2, &format!("{word} {}{out} {rules}", kg(|case| case.resin_kg)));
    match (cases.low.catalyst_g, cases.likely.catalyst_g, cases.high.catalyst_g) {
        (Some(low), Some(likely), Some(high)) => {
            let ml = |of: &Materials| of.catalyst_ml.unwrap_or(0.0);
            let rules = page.rules(&[id::CATALYST_DOSE, id::CATALYST_VOLUME]);
            page.line(
                2,
                &format!(
                    "catalyst for laminating resin {} = {}{out} {rules}",
                    three(low, likely, high, 0, "g", open),
                    three(ml(&cases.low), ml(&cases.likely), ml(&cases.high), 0, "ml", open)
                ),
            );
        }
        _ => {
            let rules = page.rules(&[id::MATERIAL_UNKNOWN]);
            page.line(
                2,
                &format!(
                    "catalyst or hardener: none named while the kind of resin is not known {rules}"
                ),
            );
        }
    }
    let rules = page.rules(&[id::GEL_COVERAGE]);
    page.line(2, &format!("gel or flow coat {}{out} {rules}", kg(|case| case.gel_coat_kg)));
    for hardener in &cases.high.hardeners {
        let ml = hardener.ml.map_or(String::new(), |ml| format!(" = {ml:.0} ml"));
        let rules = page.rules(&[id::CATALYST_DOSE_GEL]);
        page.line(
            2,
            &format!(
                "{} for {}, high case: {:.0} g{ml}{out} {rules}",
                hardener.product, hardener.goes_into, hardener.g
            ),
        );
    }
}

/// Paint.
pub(crate) fn paint(page: &mut Page, report: &Report) {
    let paint = &report.paint;
    let open = !paint.waiting.is_empty() || !paint.high.excludes.is_empty();
    page.heading(&format!("PAINT, topcoat {} (low / likely / high)", paint.topcoat));
    let out = left_out(&paint.high.excludes);
    if report.repairs.is_empty() {
        page.line(2, &format!("{NOTHING_WORKED_OUT}{out}"));
        waiting(page, paint);
        return;
    }
    let rules = page.rules(&[id::PAINT_REGION]);
    page.line(
        2,
        &format!(
            "area {}{out} {rules}",
            three(paint.low.area_m2, paint.likely.area_m2, paint.high.area_m2, 2, "m²", open)
        ),
    );
    for region in &paint.high.regions {
        page.line(5, &format!("{}, {}: {:.2} m²", region.panel, region.region, region.area_m2));
    }
    let rules = page.rules(&[id::PAINT_LITRES]);
    page.line(
        2,
        &format!(
            "all coats together {}{out} {rules}",
            three(paint.low.litres, paint.likely.litres, paint.high.litres, 1, "l", open)
        ),
    );
    for product in &paint.high.products {
        page.line(5, &format!("{}: {:.1} l in the high case", product.product, product.litres));
    }
    waiting(page, paint);
}

fn waiting(page: &mut Page, paint: &Paint) {
    for waiting in &paint.waiting {
        let rules = page.rules(&[id::PAINT_WAITS]);
        page.line(
            2,
            &format!(
                "waits for {}: {}, {} ({:.2} m²) {rules}",
                of_marks(&waiting.marks),
                waiting.panel,
                waiting.region,
                waiting.area_m2
            ),
        );
    }
}
