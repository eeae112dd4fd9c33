//! What is bought for whole jobs: what stays out of every list, what waits, and sums by hand.
#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "what a test cannot set up has to fail it"
)]

use plymend::read::job::{Named, TextFolder, job};
use plymend::report::model::{OrderLines, Report, WareLine};
use plymend::report::text;

const PANEL: &str = "(format: 1, name: \"sheet\", surface: Flat(length_mm: 2400, width_mm: 1200),
    laminate: (thickness_mm: 3), material: hand_laid_polyester, roles: [skin], back: reached,
    fixings: Listed([(name: \"hinge\", at: (2300, 1100), carries: hinge, state: sound)]))";
const HOLE: &str = "(id: 1, panel: \"sheet\", kind: hole, place: On(300, 300),
    shape: Patch(length_mm: 80, width_mm: 50))";
const CAUSED: &str = "(id: 2, panel: \"sheet\", kind: gel_crack, depth: gel, place: On(1200, 300),
    shape: Line(length_mm: 150, direction: Angle(0)), cause: Open(what: \"a bracket that works\", who: specialist))";
const WET: &str =
    "(id: 3, panel: \"sheet\", kind: blisters, layer: gel, evidence: [wet], place: On(300, 950),
    shape: Patch(length_mm: 150, width_mm: 100))";
const REFERRED: &str = "(id: 4, panel: \"sheet\", kind: hole, place: On(2250, 1050),
    shape: Patch(length_mm: 90, width_mm: 60))";

struct Scene<'a> {
    marks: &'a [&'a str],
    worker: &'a str,
    topcoat: &'a str,
    day_c: f64,
    prices: Option<&'a str>,
}

const USUAL: Scene<'static> =
    Scene { marks: &[HOLE], worker: "trade", topcoat: "brush_enamel", day_c: 20.0, prices: None };

fn worked(scene: &Scene<'_>) -> Report {
    told(scene, plymend::estimate)
}

fn told(
    scene: &Scene<'_>,
    by: fn(&plymend::read::Job) -> Result<Report, Vec<plymend::diagnostic::Diagnostic>>,
) -> Report {
    let survey = format!(
        "(format: 1, shop: \"shop.ron\", old_paint: Clear(by: \"a laboratory\", date: \"May\"),
          topcoat: {}, underseal: none_there, panels: [(name: \"sheet\", file: \"sheet.ron\")], marks: [{}])",
        scene.topcoat,
        scene.marks.join(",\n")
    );
    let shop = format!(
        "(format: 1, day_c: {0}, night_c: {0}, humidity_percent: 55, place: own_building, room_m3: 300,
          air_changes_per_h: 6, worker: {1})",
        scene.day_c, scene.worker
    );
    let prices = scene.prices.unwrap_or_default();
    let texts = TextFolder::from([
        ("survey.ron", survey.as_str()),
        ("sheet.ron", PANEL),
        ("shop.ron", shop.as_str()),
        ("prices.ron", prices),
    ]);
    let prices = scene.prices.map(|_| "prices.ron".to_owned());
    let job = job(&texts, "survey.ron", &Named { prices, ..Named::default() });
    let job = job.unwrap_or_else(|faults| panic!("{}", faults[0]));
    by(&job).unwrap_or_else(|faults| panic!("{}", faults[0]))
}

fn order(report: &Report) -> &OrderLines {
    report.order.as_ref().expect("an order")
}

fn ware<'o>(lines: &'o [WareLine], words: &str) -> &'o WareLine {
    lines.iter().find(|line| line.what.contains(words)).unwrap_or_else(|| panic!("no {words}"))
}

#[test]
fn referred_marks_buy_nothing_and_are_named_everywhere() {
    let with = worked(&Scene { marks: &[HOLE, REFERRED], ..USUAL });
    let without = worked(&Scene { marks: &[HOLE], ..USUAL });
    let kg = |report: &Report| ware(&order(report).lines, "laminating resin").need.high;
    assert!((kg(&with) - kg(&without)).abs() < 1e-9, "the referred hole bought resin");
    assert_eq!(order(&with).excludes.iter().filter_map(|one| one.mark).collect::<Vec<_>>(), [4]);
    let page = text::quote(&with).split_whitespace().collect::<Vec<_>>().join(" ");
    let list = page.split("SHOPPING LIST").nth(1).unwrap();
    assert!(list.contains("leaves out 1 mark, 4") && list.contains("at least"));
}

#[test]
fn what_waits_is_bought_only_after_and_in_no_list_for_now() {
    let report = worked(&Scene { marks: &[HOLE, CAUSED, WET], ..USUAL });
    let order = order(&report);
    let of = |mark: u32| {
        let repair = report.repairs.iter().find(|one| one.marks.contains(&mark));
        repair.expect("a repair").id.clone()
    };
    let alone = worked(&USUAL);
    let (now, hole) = (
        ware(&order.lines, "laminating resin").need.high,
        ware(&self::order(&alone).lines, "laminating resin").need.high,
    );
    assert!((now - hole).abs() < 1e-9, "the list for now holds the hole and nothing else");
    let after = |words: &str| {
        let found = order.buy_only_after.iter().find(|one| one.after.contains(words));
        found.unwrap_or_else(|| panic!("{words}: {:?}", order.buy_only_after))
    };
    assert_eq!(after("cause").repairs, [of(2)]);
    assert_eq!(after("wet").repairs, [of(3)]);
    for later in &order.buy_only_after {
        assert!(later.lines.iter().all(|line| line.packs.is_empty() && line.packs_high.is_empty()));
        assert!(ware(&later.lines, "gel or flow coat").need.high > 0.0);
    }
    // A shop that is too cold blocks laying: nothing at all is bought for now.
    let cold = worked(&Scene { day_c: 9.0, ..USUAL });
    assert!(self::order(&cold).lines.is_empty() && !self::order(&cold).buy_only_after.is_empty());
}

/// By hand: one hole; each of its sittings a pot of its own, 30 g a pot and 80 g a session more.
#[test]
fn resin_catalyst_and_glass_by_hand() {
    let report = worked(&USUAL);
    let order = order(&report);
    let high = &report.materials.high;
    let sittings = |coat: bool| {
        let all = report.shop.sittings.iter();
        all.filter(|one| one.what.contains("gel coat") == coat).count() as f64
    };
    let pots = |kg: f64, least: f64| f64::max(least, (kg / 0.5).ceil());
    let (resin_pots, coat_pots) =
        (pots(high.resin_kg, sittings(false)), pots(high.gel_coat_kg, sittings(true)));
    let resin_kg = high.resin_kg.max(0.1 * resin_pots) + 0.03 * resin_pots + 0.08 * sittings(false);
    let coat_kg = high.gel_coat_kg.max(0.1 * coat_pots) + 0.03 * coat_pots;
    let need = |words: &str| ware(&order.lines, words).need.high;
    assert!((need("laminating resin") - resin_kg).abs() < 2e-3, "{resin_kg}");
    assert!((need("gel or flow coat") - coat_kg).abs() < 2e-3, "{coat_kg}");
    let grams = resin_kg * 10.0 * report.shop.catalyst_percent
        + coat_kg * 10.0 * report.shop.gel_catalyst_percent;
    assert!((need("MEKP") - grams / 1.15).abs() < 0.1, "1.15 g/ml");
    // Mat by its own area, an odd piece 30 % more, off a roll 1.27 m wide.
    for weight in [300.0, 450.0] {
        let plies = report.repairs[0].scenarios.high.plies.iter();
        let glass_kg: f64 = plies
            .filter(|ply| ply.reinforcement.contains(&format!("{weight}")))
            .map(|ply| ply.glass_kg)
            .sum();
        if glass_kg > 0.0 {
            let metres = glass_kg / (weight / 1000.0) * 1.3 / 1.27;
            let found = need(&format!("mat {weight}"));
            assert!((found - metres).abs() < 2e-3, "{weight}: {found} against {metres}");
        }
    }
    for line in &order.lines {
        let bought: f64 = line.packs.iter().map(|one| one.count as f64 * one.amount).sum();
        assert!(
            bought + line.from_shelf + 1e-9 >= line.need.likely,
            "{}: {bought} for {:?}",
            line.what,
            line.need
        );
    }
}

const PRICES: &str = "(format: 1, currency: \"crowns\", tax_percent: 25, prices_include_tax: false,
    packs: [(ware: polyester_resin, amount: 1, price: 10), (ware: gel_coat, amount: 1, price: 20)],
    hourly_rate: 100, quote: (figure: likely, contingency_percent: 10, stop_and_call_percent: 0))";

#[test]
fn sums_are_those_of_the_lines_and_what_has_no_price_is_never_nought() {
    let report = worked(&Scene { prices: Some(PRICES), ..USUAL });
    let price = report.price.as_ref().expect("money");
    let sum: f64 = price.lines.iter().filter_map(|line| line.money.likely).sum();
    assert!((price.totals.likely.net - sum).abs() < 0.005);
    assert!((price.totals.likely.gross - 1.25 * sum).abs() < 0.01);
    assert!((price.quote.gross - 1.25 * 1.1 * sum).abs() < 0.02);
    let hours = report.hours.as_ref().unwrap().trade_h.likely;
    let labour = price.lines.iter().find(|line| line.group == "labour").unwrap();
    assert!((labour.money.likely.unwrap() - 100.0 * hours).abs() < 0.1, "{hours} h at 100");
    assert!(price.totals.low.at_least && price.totals.high.at_least && price.quote.lacks);
    let mat = price.lines.iter().find(|line| line.what.contains("mat")).unwrap();
    assert_eq!(mat.money.likely, None);
    assert!(price.not_priced.iter().any(|one| one.what == mat.what));
    // Without prices there is a list and no money.
    let without = worked(&USUAL);
    assert!(without.price.is_none() && !order(&without).lines.is_empty());
}

#[test]
fn an_owner_is_not_sent_to_buy_two_pack_paint() {
    let sprayed = |worker| worked(&Scene { worker, topcoat: "two_pack_isocyanate", ..USUAL });
    let listed = |report: &Report| {
        let order = order(report);
        let later = order.buy_only_after.iter().flat_map(|one| &one.lines);
        order.lines.iter().chain(later).any(|line| line.what.contains("two-pack"))
    };
    let owner = sprayed("owner");
    assert!(!listed(&owner));
    assert!(order(&owner).not_here.iter().any(|one| one.what.contains("two-pack")));
    assert!(listed(&sprayed("trade")));
}

#[test]
fn a_table_reads_back_whole_and_no_cell_is_a_formula() {
    use plymend::report::tables;
    let prices = PRICES.replace(
        "hourly_rate: 100",
        "hourly_rate: 100, access: [(what: \"=HYPERLINK(1,\\\"2\\\")\", price: 5), (what: \"-2+3, and a \\\"quote\\\"\")]",
    );
    let scene = Scene { marks: &[HOLE, REFERRED], prices: Some(&prices), ..USUAL };
    let report = told(&scene, plymend::quote);
    let text = tables::csv(&report).unwrap();
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let rows: Vec<Vec<String>> =
        reader.records().map(|row| row.unwrap().iter().map(str::to_owned).collect()).collect();
    let risky = |cell: &String| cell.trim_start().starts_with(['=', '+', '-', '@', '\t']);
    assert!(rows.iter().flatten().all(|cell| !risky(cell)));
    assert!(rows.iter().any(|row| row[1] == "'=HYPERLINK(1,\"2\")" && row[4] == "5.00"));
    assert!(rows.iter().any(|row| row[0] == "left out of every figure" && row[1] == "mark 4"));
    assert!(rows.iter().any(|row| row[0] == "STOP"));
    let resin = rows.iter().find(|row| row[0] == "now" && row[1].contains("laminating")).unwrap();
    let need = ware(&order(&report).lines, "laminating resin").need.likely;
    assert!((resin[4].parse::<f64>().unwrap() - need).abs() < 1e-9);
    assert!(rows.iter().any(|row| row[0] == "REFERRED" && row[1] == "mark 4"));
    let cut = rows.iter().find(|row| row[0] == "cut plan, now").expect("a cut plan");
    let plan = &order(&report).cut_plan.as_ref().unwrap()[0];
    assert!((cut[5].parse::<f64>().unwrap() - plan.length_m.high).abs() < 1e-9);
    let overs = rows.iter().filter(|row| row[0] == "over, worth keeping").count();
    let plans = order(&report).cut_plan.iter().flatten();
    assert_eq!(overs, plans.map(|plan| plan.offcuts.len()).sum::<usize>());
    assert!(overs > 0, "a small job leaves nothing of a roll 1.27 m wide");
    assert!(rows.iter().any(|row| row[0] == "waste"));
    let lines = tables::lines(&report);
    assert!(lines.starts_with("STOP"), "what must not be done comes first");
    assert!(
        lines.contains(" x ") && lines.contains("leaves out 1 mark, 4") && lines.contains("STOP")
    );
}

#[test]
fn a_quote_buys_mat_by_its_cut_plan_and_an_estimate_by_percentage() {
    let (quoted, estimated) = (told(&USUAL, plymend::quote), worked(&USUAL));
    assert!(order(&estimated).cut_plan.is_none());
    let plans = order(&quoted).cut_plan.as_ref().expect("a cut plan");
    assert!(!plans.is_empty());
    for plan in plans {
        assert!(plan.not_cut.is_empty(), "{:?}", plan.not_cut);
        // Nothing shorter than its area over the width of the roll.
        let bound_m = plan.pieces_m2 / (plan.roll_width_mm / 1000.0);
        assert!(plan.length_m.likely >= bound_m - 1e-6, "{plan:?}");
        let weight = if plan.mat.contains("300") { "mat 300" } else { "mat 450" };
        let need = &ware(&order(&quoted).lines, weight).need;
        // Rounded up to a millimetre.
        assert!((need.high - plan.length_m.high).abs() <= 0.001 + 1e-9, "{need:?} {plan:?}");
        assert!((need.likely - plan.length_m.likely).abs() <= 0.001 + 1e-9);
    }
    // Areas of the pieces are those of the plies on the flat sheet.
    let pieces_m2: f64 = plans.iter().map(|plan| plan.pieces_m2).sum();
    let plies = &quoted.repairs[0].scenarios.likely.plies;
    let skin_m2: f64 = plies.iter().map(|ply| ply.area_m2).sum();
    assert!((pieces_m2 / skin_m2 - 1.0).abs() < 0.01, "{pieces_m2} against {skin_m2}");
}

#[test]
fn a_body_of_unknown_resin_buys_none_and_every_list_says_so() {
    let panel = PANEL.replace("material: hand_laid_polyester, ", "");
    let survey = format!(
        "(format: 1, air_c: 20, humidity_percent: 55, old_paint: Clear(by: \"a laboratory\", date: \"May\"),
          topcoat: brush_enamel, underseal: none_there,
          panels: [(name: \"sheet\", file: \"sheet.ron\")], marks: [{HOLE}])"
    );
    let texts = TextFolder::from([("survey.ron", survey.as_str()), ("sheet.ron", panel.as_str())]);
    let job = job(&texts, "survey.ron", &Named::default()).unwrap();
    let report = plymend::estimate(&job).unwrap();
    let order = order(&report);
    let later = order.buy_only_after.iter().flat_map(|one| &one.lines);
    assert!(!order.lines.iter().chain(later).any(|line| line.what.contains("resin,")
        || line.what.contains("laminating resin")
        || line.what.contains("gel or flow coat")));
    if !report.repairs.is_empty() {
        assert!(
            order
                .excludes
                .iter()
                .any(|one| one.mark == Some(1) && one.reason.contains("not known"))
        );
    }
    assert!(report.repairs.len() == 1, "the hole is laid out all the same");
}

#[test]
fn a_mat_without_a_roll_width_is_bought_all_the_same() {
    let text = include_str!("../../panels/stock.ron").replace(" roll_width_mm: 1270,", "");
    let usual = worked(&USUAL);
    let survey = format!(
        "(format: 1, shop: \"shop.ron\", stock: \"stock.ron\", old_paint: Clear(by: \"a laboratory\", date: \"May\"),
          topcoat: brush_enamel, underseal: none_there, panels: [(name: \"sheet\", file: \"sheet.ron\")], marks: [{HOLE}])"
    );
    let texts = TextFolder::from([
        ("survey.ron", survey.as_str()),
        ("sheet.ron", PANEL),
        ("stock.ron", text.as_str()),
        (
            "shop.ron",
            "(format: 1, day_c: 20, night_c: 20, humidity_percent: 55, place: own_building, room_m3: 300, air_changes_per_h: 6, worker: trade)",
        ),
    ]);
    let job = job(&texts, "survey.ron", &Named::default()).unwrap();
    let report = plymend::estimate(&job).unwrap();
    let metres = |report: &Report| ware(&order(report).lines, "mat 450").need.high;
    // The rule ROLL-WIDTH stands in: the same area off a roll of that width.
    let width_mm = plymend::rules::Book::built_in().figure(plymend::rules::id::ROLL_WIDTH);
    let expected = metres(&usual) * 1270.0 / width_mm;
    assert!((metres(&report) - expected).abs() < 2e-3 && expected > 0.0, "{width_mm}");
}

#[test]
fn dust_of_an_old_repair_never_goes_with_plain_laminate() {
    let of = |kind: &str| {
        let mark = format!(
            "(id: 1, panel: \"sheet\", kind: {kind}, depth: full, old_filler: Clear(by: \"a laboratory\", date: \"May\"),
              place: On(300, 300), shape: Patch(length_mm: 80, width_mm: 50))"
        );
        let disposal = "disposal: [(class: cured_laminate, per_kg: 1), (class: tested, per_kg: 1)], hourly_rate";
        let prices = PRICES.replace("hourly_rate", disposal);
        let report = worked(&Scene { marks: &[&mark], prices: Some(&prices), ..USUAL });
        let lines = &report.price.as_ref().unwrap().lines;
        let line = lines.iter().find(|line| line.what.contains("old paint, filler"));
        line.unwrap().money.high.unwrap()
    };
    assert!(of("old_repair") > of("delamination") + 0.1, "the filler's dust is among the doubtful");
}
