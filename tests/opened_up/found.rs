//! What a find changes: quantities, other marks of the kind, referrals, and the note about it.

use plymend::report::text::{self, Wide};

use super::{BY, SKIN, closed, texts, told, whole};

const CRACK: &str = "kind: gel_crack, depth: gel, edges_move: no";

fn crack(id: u32, v_mm: f64, length_mm: f64) -> String {
    format!(
        "(id: {id}, panel: \"sheet\", {CRACK}, place: On(600, {v_mm}), \
         shape: Line(length_mm: {length_mm}, direction: Angle(0)))"
    )
}

#[test]
fn an_opened_mark_is_worked_at_its_size_and_the_others_learn_from_it() {
    let marks = [crack(1, 250.0, 200.0), crack(2, 500.0, 220.0), crack(3, 750.0, 60.0)].join(", ");
    let job = whole(&texts(SKIN, &marks, &format!("(mark: 1, length_mm: 500, depth: gel, {BY})")));
    let report = told(&job);
    let found = &report.findings[0];
    let grown = found.grown_length_mm.as_ref().expect("a line");
    for length_mm in [grown.low, grown.likely, grown.high] {
        approx::assert_relative_eq!(length_mm, 500.0, max_relative = 1e-9);
    }
    // Four of the book and one of this body: (1.35^4 x 2.5)^(1/5), by hand.
    let factor = (1.35_f64.powi(4) * 2.5).powf(0.2);
    let other = report.findings[1].grown_length_mm.as_ref().expect("a line");
    approx::assert_relative_eq!(other.likely, 220.0 * factor, max_relative = 1e-5);
    // The largest ratio found on this body is the least that high reckons with.
    approx::assert_relative_eq!(other.high, 220.0 * 2.5, max_relative = 1e-5);
    // The least move stays: 60 + 2 x 30 in the book; 60 x 2.5 is more here, 60 + 2 x 15 not.
    let short = report.findings[2].grown_length_mm.as_ref().expect("a line");
    approx::assert_relative_eq!(short.likely, (60.0 * factor).max(90.0), max_relative = 1e-5);
    approx::assert_relative_eq!(short.high, 150.0, max_relative = 1e-5);
    let growth = &report.opened.as_ref().expect("opened").growth;
    assert_eq!(growth.len(), 1);
    assert_eq!((growth[0].rule.as_str(), growth[0].marks.as_slice()), ("GROW-GEL-CRACK", &[1][..]));
    let page = text::full(&report, Wide::Usual).replace("\n    ", " ");
    let said = format!("1.35 -> {factor:.2} (from 1 opened: 1)");
    assert!(page.contains("growth of gel crack, length on this body"), "{page}");
    assert!(page.contains(&said), "{said}\n{page}");
}

#[test]
fn a_short_mark_found_as_its_move_expects_leaves_the_factor_alone() {
    // 60 + 2 x 15 mm is what the least move expects, and 1.5 times what was seen.
    let found = format!("(mark: 1, length_mm: 90, depth: gel, {BY})");
    let report = told(&whole(&texts(SKIN, &crack(1, 500.0, 60.0), &found)));
    let opened = report.opened.as_ref().expect("opened");
    approx::assert_relative_eq!(opened.marks[0].found_over_seen, 1.5, max_relative = 1e-5);
    approx::assert_relative_eq!(opened.growth[0].after.likely, 1.35, max_relative = 1e-5);
    // An area as well: a chip of 12 mm whose outline moves by 5 mm is one of 22 mm.
    let chip = "(id: 1, panel: \"sheet\", kind: chip, depth: gel, place: On(600, 500), shape: Spot(diameter_mm: 12))";
    let found = format!("(mark: 1, length_mm: 22, width_mm: 22, depth: gel, {BY})");
    let report = told(&whole(&texts(SKIN, chip, &found)));
    let growth = &report.opened.as_ref().expect("opened").growth[0];
    approx::assert_relative_eq!(growth.after.likely, growth.before.likely, max_relative = 1e-5);
}

#[test]
fn nothing_opened_changes_nothing() {
    let job = whole(&texts(
        SKIN,
        &crack(1, 500.0, 200.0),
        &format!("(mark: 1, length_mm: 300, depth: gel, {BY})"),
    ));
    let report = told(&closed(&job));
    assert!(report.opened.is_none());
    let grown = report.findings[0].grown_length_mm.as_ref().expect("a line");
    approx::assert_relative_eq!(grown.likely, 270.0, max_relative = 1e-5);
}

#[test]
fn a_find_deeper_than_recorded_is_a_new_referral_and_stands_first() {
    let stressed = SKIN.replace("[skin]", "[stressed]");
    let marks = [crack(1, 300.0, 120.0), crack(2, 700.0, 120.0)].join(", ");
    let found = format!("(mark: 2, length_mm: 150, depth: first_glass, edges_move: no, {BY})");
    let job = whole(&texts(&stressed, &marks, &found));
    let before = told(&closed(&job));
    assert!(before.findings.iter().all(|one| one.action == "repair"), "{:?}", before.referrals);
    let report = told(&job);
    assert_eq!(report.findings[1].action, "refer");
    assert!(report.referrals.iter().any(|one| one.mark == Some(2) && one.rule == "REFER-STRESSED"));
    let extra = &report.opened.as_ref().expect("opened").extra_work;
    let raised = &extra.raised[0];
    assert_eq!((raised.mark, raised.before.as_str(), raised.now.as_str()), (2, "repair", "refer"));
    assert!(raised.reasons[0].contains("stressed"), "{raised:?}");
    // It has no quantities any more, and both sides say what they leave out.
    assert!(extra.excludes_before.is_empty());
    assert_eq!(extra.excludes.iter().filter_map(|one| one.mark).collect::<Vec<_>>(), [2]);
    let page = text::full(&report, Wide::Usual);
    let place = |words: &str| page.find(words).unwrap_or_else(|| panic!("{words:?}\n{page}"));
    assert!(place("mark 2: repair -> refer") < place("mark 2, opened May"));
    assert!(place("left out now: mark 2 referred") > place("gel or flow coat: "));
}

#[test]
fn a_small_find_at_a_hinge_shrinks_nothing_that_is_referred() {
    let hinged = SKIN.replace(
        "fixings: none_seen",
        "fixings: Listed([(name: \"hinge bolt\", at: (600, 700), carries: hinge, state: sound)])",
    );
    let marks = crack(1, 500.0, 400.0);
    let found = format!("(mark: 1, length_mm: 20, depth: gel, edges_move: no, {BY})");
    let far = marks.replace("On(600, 500)", "On(300, 500)");
    let job = whole(&texts(&hinged, &far, &found));
    // 400 mm about u 300 may reach u 660 in the high case, 200 mm below the hinge: clear of it. At
    // v 580 it is 120 mm below, and a hinge asks for 150.
    let near = whole(&texts(&hinged, &far.replace("On(300, 500)", "On(300, 580)"), &found));
    let clear = told(&closed(&job));
    assert_eq!(clear.findings[0].action, "repair", "{:?}", clear.referrals);
    assert_eq!(told(&closed(&near)).findings[0].action, "refer");
    let report = told(&near);
    assert_eq!(report.findings[0].action, "refer");
    let kept = report.referrals.iter().find(|one| one.rule == "REFER-MOVING").expect("kept");
    assert!(kept.reason.contains("does not lift it"), "{kept:?}");
    assert!(report.repairs.is_empty());
}

#[test]
fn extra_work_is_the_difference_of_the_two_estimates_and_says_what_joined() {
    let marks = [
        "(id: 1, panel: \"sheet\", kind: hole, place: On(400, 500), shape: Patch(length_mm: 40, width_mm: 40, angle_deg: 0))",
        "(id: 2, panel: \"sheet\", kind: hole, place: On(700, 500), shape: Patch(length_mm: 40, width_mm: 40, angle_deg: 0))",
        "(id: 3, panel: \"sheet\", kind: chip, depth: gel, place: On(200, 200), shape: Spot(diameter_mm: 12))",
    ];
    let found = format!(
        "(mark: 1, length_mm: 300, width_mm: 60, {BY}), (mark: 3, length_mm: 20, width_mm: 20, depth: half, {BY})"
    );
    let job = whole(&texts(SKIN, &marks.join(", "), &found));
    let (before, after) = (told(&closed(&job)), told(&job));
    let opened = after.opened.as_ref().expect("opened");
    let extra = &opened.extra_work;
    assert_eq!((before.repairs.len(), after.repairs.len()), (3, 2));
    assert_eq!(extra.joined.len(), 1);
    assert_eq!(extra.joined[0].marks, [1, 2]);
    assert_eq!(extra.methods.iter().map(|one| one.mark).collect::<Vec<_>>(), [3]);
    for (change, of) in [
        (&extra.glass_kg, [before.materials.likely.glass_kg, after.materials.likely.glass_kg]),
        (&extra.resin_kg, [before.materials.likely.resin_kg, after.materials.likely.resin_kg]),
        (
            &extra.gel_coat_kg,
            [before.materials.likely.gel_coat_kg, after.materials.likely.gel_coat_kg],
        ),
    ] {
        approx::assert_relative_eq!(change.before.likely, of[0], epsilon = 1e-6);
        approx::assert_relative_eq!(change.after.likely, of[1], epsilon = 1e-6);
        approx::assert_relative_eq!(change.more.likely, of[1] - of[0], epsilon = 2e-6);
    }
    let count = |report: &plymend::report::Report| -> usize {
        report.repairs.iter().map(|one| one.scenarios.likely.plies.len()).sum()
    };
    approx::assert_relative_eq!(extra.plies.after.likely, count(&after) as f64);
    approx::assert_relative_eq!(extra.plies.before.likely, count(&before) as f64);
    // 300 by 60 mm was never within the high case of 40 by 40: hole factor 2, move 40 mm capped.
    assert!(opened.marks[0].beyond_high && extra.glass_kg.beyond_high, "{extra:?}");
    let page = text::full(&after, Wide::Usual);
    assert!(page.contains("beyond what was printed as high"), "{page}");
}
