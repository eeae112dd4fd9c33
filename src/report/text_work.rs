//! Repairs, materials and paint as text.

use super::model::*;
use super::text::{Page, Wide, left_out, of_marks, three};
use super::text_match;
use crate::repair::work::Method;
use crate::rules::id;

/// Instead of figures where no mark is repaired here: a nought would read as a price.
const NOTHING_WORKED_OUT: &str = "no quantities: no mark is repaired here";

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
            "of {}: {dated} free of open causes and of drying, {stopped} with a blocked step",
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
        if !cases.high.prepared_by_panel.is_empty() {
            let shares = cases.high.prepared_by_panel.iter();
            let shares: Vec<String> =
                shares.map(|one| format!("{:.4} m² on the {}", one.area_m2, one.panel)).collect();
            let rules = page.rules(&[id::OVER_SEAM]);
            page.line(5, &format!(
                    "over the seam, high: {}; laid out with the laminate of the panel each mark is on {rules}",
                    shares.join(", ")
                ));
        }
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
        text_match::parent_match(page, one);
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
        } else if of.method == Method::GelAreaPartGlass.words() {
            "on part of the removal".to_owned()
        } else {
            "cut to what is taken down".to_owned()
        };
        let rules = if ply.side == "back" {
            page.rules(&[id::BACKING_REACH, id::BACKING_THIN])
        } else {
            page.rules(&[id::PLY_OVER, id::TAPER])
        };
        let laps = if ply.strips > 1 {
            let rules = page.rules(&[id::LAP, id::LAP_STAGGER, id::ROLL_WIDTH]);
            format!(", in {} strips, {:.4} m² lapped {rules}", ply.strips, ply.lap_m2)
        } else {
            String::new()
        };
        page.line(
            5,
            &format!(
                "{case}: {} ply {}, {}, {reach}: {:.4} m²{laps}, glass {:.3} kg, resin {:.3} kg {rules}",
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
