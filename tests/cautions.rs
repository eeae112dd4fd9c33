//! Every caution has a scene that raises it and one that does not, and the cautions of one answer
//! never contradict each other.
#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "what a test cannot set up has to fail it"
)]

#[path = "cautions/agree.rs"]
mod agree;
#[path = "cautions/blocked.rs"]
mod blocked;
#[path = "cautions/scene.rs"]
mod scene;

use std::collections::BTreeSet;

use plymend::safety::table::cautions;
use rayon::prelude::*;
use scene::{Change, NOTHING, codes, worked};

/// A small gel job in glass: what lays laminate.
const GLASS: Change = ("depth: gel", "depth: first_glass");
const LARGE: Change = ("length_mm: 80, width_mm: 60", "length_mm: 500, width_mm: 400");
const CLOSED_ROOM: Change = ("fan_m3_h: 8000,", "");
const SMALL_ROOM: Change = ("room_m3: 400", "room_m3: 20");
const ACETONE: Change = ("acetone_l: 0", "acetone_l: 2");
const COLD: Change = ("day_c: 20", "day_c: 11");
const DAMP: Change = ("humidity_percent: 50", "humidity_percent: 90");
const OLD_REPAIR: Change = ("kind: crazing, depth: gel", "kind: old_repair");
const ENAMEL: Change = ("topcoat: gel_finish", "topcoat: brush_enamel");
const UNNAMED: Change = ("topcoat: gel_finish", "topcoat: unnamed");
const SILL: Change = ("kind: sheet", "kind: sill");
const HEATED: Change = ("acetone_l: 0", "acetone_l: 0, heaters: [sealed]");
const WET: Change = ("depth: gel", "depth: gel, evidence: [wet]");
const CRACK: Change = ("kind: crazing, depth: gel", "kind: through_crack, edges_move: no");
const AS_LINE: Change = (
    "shape: Patch(length_mm: 80, width_mm: 60, angle_deg: 0)",
    "shape: Line(length_mm: 80, direction: Angle(90))",
);
const LONG_LINE: Change = (
    "shape: Patch(length_mm: 80, width_mm: 60, angle_deg: 0)",
    "shape: Line(length_mm: 650, direction: Angle(90))",
);
const EPOXY: Change = ("material: hand_laid_polyester", "material: epoxy");
const PRESSED: Change = ("material: hand_laid_polyester", "material: compression_moulded");
const UNKNOWN_PAINT: Change = ("old_paint: none_there", "old_paint: untested");
const OPENS: Change = ("roles: [skin]", "roles: [opens]");
const BELTED: Change = (
    "fixings: none_seen",
    "fixings: Listed([(name: \"belt bolt\", at: (850, 650), carries: belt, state: sound)])",
);
const SEIZED: Change = (
    "fixings: none_seen",
    "fixings: Listed([(name: \"mount\", at: (20, 20), carries: body_mount, state: seized)])",
);
const OUTDOORS: Change = (
    "place: own_building, floor: level, room_m3: 400, fan_m3_h: 8000",
    "place: outdoors_under_cover",
);

/// Code, what raises it, what does not.
type Row = (&'static str, &'static [Change], &'static [Change]);

const ROWS: &[Row] = &[
    ("STY-STOP", &[GLASS, LARGE, CLOSED_ROOM, SMALL_ROOM], &[GLASS, LARGE]),
    ("STY-VENT", &[], &[NOTHING]),
    ("STY-RPE", &[], &[NOTHING]),
    ("STY-FIRE", &[], &[NOTHING]),
    ("HEAVY", &[("floor: level", "floor: pit_or_cellar")], &[]),
    ("HOME", &[("own_building", "joined_to_dwelling")], &[]),
    ("PREG", &[], &[NOTHING]),
    ("LIMITS", &[], &[NOTHING]),
    ("ACE-FIRE", &[ACETONE], &[]),
    ("ACE-STATIC", &[ACETONE], &[("acetone_l: 0", "acetone_l: 0.5")]),
    ("ACE-CONC", &[ACETONE, SMALL_ROOM], &[]),
    ("RAGS", &[], &[PRESSED, GLASS, ACETONE]),
    ("EXTING", &[], &[NOTHING]),
    ("CAT-EYE", &[], &[PRESSED, GLASS]),
    ("CAT-TAP", &[], &[PRESSED, GLASS]),
    ("CAT-SOLV", &[], &[PRESSED, GLASS, ACETONE]),
    ("CAT-STORE", &[], &[PRESSED, GLASS]),
    ("CAT-COBALT", &[("accelerator: built_in", "accelerator: apart")], &[]),
    ("CAT-DOSE", &[("worker: trade", "worker: trade, catalyst_percent: 2.8")], &[]),
    ("EXO", &[GLASS, LARGE], &[]),
    ("SENS", &[EPOXY, GLASS], &[GLASS]),
    ("GEL-EPOXY", &[EPOXY, GLASS], &[PRESSED, GLASS]),
    ("SKIN", &[], &[NOTHING]),
    ("WASTE", &[], &[NOTHING]),
    ("ALONE", &[], &[PRESSED, GLASS]),
    ("DUST-MASS", &[], &[NOTHING]),
    ("DUST-GRP", &[], &[NOTHING]),
    ("DUST-CURE", &[], &[NOTHING]),
    ("DUST-EXPL", &[GLASS, LARGE], &[]),
    ("LEAD-CR", &[UNKNOWN_PAINT], &[]),
    ("ASB", &[OLD_REPAIR], &[OLD_REPAIR, ("id: 1", "id: 1, year: 2012")]),
    ("HEARING", &[], &[EPOXY, GLASS, ("depth: first_glass", "depth: first_glass, side: back")]),
    ("VIBRATE", &[LARGE], &[]),
    ("ELEC", &[], &[NOTHING]),
    ("CUT", &[CRACK, AS_LINE], &[]),
    ("ISO", &[UNNAMED], &[ENAMEL]),
    ("ISO-CLEAR", &[UNNAMED], &[ENAMEL]),
    ("ISO-HAND", &[UNNAMED], &[ENAMEL]),
    ("1K-VOC", &[ENAMEL], &[]),
    ("SILICONE", &[ENAMEL], &[]),
    ("COLD", &[COLD], &[("day_c: 20", "day_c: 15")]),
    ("DEW", &[("acetone_l: 0", "acetone_l: 0, panel_c: 11")], &[]),
    ("RH85", &[DAMP], &[("humidity_percent: 50", "humidity_percent: 85")]),
    ("CLIMATE", &[DAMP], &[]),
    ("HEATER", &[HEATED], &[]),
    ("HEATER-AIR", &[HEATED, ("outdoor_c: 20", "outdoor_c: 5")], &[HEATED]),
    ("SUN-TG", &[GLASS], &[]),
    ("MOIST", &[WET], &[]),
    ("BATTERY", &[("traction_battery: absent", "traction_battery: unknown")], &[]),
    ("FUEL", &[("fuel: absent", "fuel: present")], &[]),
    ("PYRO", &[("pyrotechnic: absent", "pyrotechnic: unknown")], &[]),
    ("UNDER", &[SILL], &[]),
    ("PART", &[CRACK, LONG_LINE], &[CRACK, AS_LINE]),
    ("NOT-DRIVEN", &[GLASS], &[]),
    ("LIFT", &[OPENS], &[]),
    ("BELTS", &[BELTED], &[]),
    ("MATERIAL", &[("material: hand_laid_polyester", "material: unknown")], &[]),
    (
        "ROLE",
        &[("roles: [skin]", "roles: [unknown]"), GLASS],
        &[("roles: [skin]", "roles: [unknown]")],
    ),
];

#[test]
fn every_caution_is_raised_by_its_scene_and_not_by_the_other() {
    let told: BTreeSet<&str> = ROWS.iter().map(|row| row.0).collect();
    let held: BTreeSet<&str> = cautions().iter().map(|row| row.code.as_str()).collect();
    assert_eq!(told, held, "every row of the table has its two scenes");
    let wrong: Vec<String> = ROWS
        .par_iter()
        .flat_map_iter(|(code, raises, does_not)| {
            let mut wrong = Vec::new();
            let report = worked(raises);
            match report.cautions.iter().find(|one| one.code == *code) {
                None => wrong.push(format!("{code} is not raised by {raises:?}")),
                Some(one) => {
                    assert!(!one.trigger.is_empty() && !one.text.is_empty(), "{code}");
                }
            }
            for one in &report.cautions {
                if one.text.contains("not known") && !one.text.contains("not known, taken") {
                    wrong.push(format!("{} of {code}'s scene: {}", one.code, one.text));
                }
            }
            if codes(&worked(does_not)).contains(*code) {
                wrong.push(format!("{code} is raised by {does_not:?}"));
            }
            wrong
        })
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_triggers_that_have_more_than_one_way_are_met_by_each() {
    let ways: &[(&str, &[Change])] = &[
        ("STY-FIRE", &[("day_c: 20", "day_c: 28")]),
        ("HEAVY", &[SILL]),
        ("PREG", &[UNNAMED, PRESSED, GLASS]),
        ("PREG", &[UNKNOWN_PAINT, PRESSED, GLASS]),
        ("CUT", &[SEIZED]),
        ("LIFT", &[SEIZED]),
        ("EXO", &[("worker: trade", "worker: trade, catalyst_percent: 2.2")]),
        ("EXO", &[("day_c: 20", "day_c: 26")]),
        ("SENS", &[UNNAMED]),
        ("HEATER", &[COLD]),
        ("ASB", &[SILL, ("underseal: none_there", "underseal: untested")]),
        ("ALONE", &[UNNAMED, PRESSED, GLASS]),
        ("STY-RPE", &[OUTDOORS]),
        ("STY-VENT", &[OUTDOORS]),
        ("MATERIAL", &[("material: hand_laid_polyester, ", "")]),
        // Filler alone on a pressed moulding, and acetone on the shelf though nothing is poured.
        ("SENS", &[PRESSED]),
        ("ACE-FIRE", &[ACETONE, NOTHING]),
    ];
    for (code, changes) in ways {
        assert!(codes(&worked(changes)).contains(*code), "{code}: {changes:?}");
    }
}

/// No resin, no caution of styrene; acetone alone makes no rag heat by itself.
#[test]
fn nothing_of_styrene_without_resin_and_no_hot_rags_from_acetone_alone() {
    let none = codes(&worked(&[NOTHING, ACETONE]));
    assert!(!none.iter().any(|code| code.starts_with("STY-")), "{none:?}");
    let epoxy = worked(&[PRESSED, GLASS, ACETONE]);
    let raised = codes(&epoxy);
    assert!(raised.contains("ACE-FIRE") && !raised.contains("RAGS"), "{raised:?}");
    assert!(epoxy.cautions.iter().all(|one| !one.text.contains("heat by themselves and burn")));
}
