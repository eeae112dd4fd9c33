//! `new`: a first survey, a shop and a measuring sheet for chosen generic mouldings.

use plymend::diagnostic::Diagnostic;
use plymend::model::panel::{Fixings, Panel, SurfaceForm};
use plymend::read::text::{nearest, row_of};
use plymend::read::{built_in, ron_file};

use super::typed_wrongly;
use crate::files;
use crate::say::Answer;

/// A generic moulding under the name it has in the new survey.
struct Chosen {
    generic: &'static str,
    name: String,
    panel: Panel,
}

pub(super) fn run(folder: &str, panels: &[String]) -> Result<Answer, Vec<Diagnostic>> {
    let lid = ["lid".to_owned()];
    let panels = if panels.is_empty() { &lid[..] } else { panels };
    let chosen = chosen(panels)?;
    let folder = folder.trim_end_matches('/');
    let path = |name: &str| format!("{folder}/{name}");
    let written = [
        (path("survey.ron"), survey(&chosen)),
        (path("shop.ron"), SHOP.to_owned()),
        (path("measuring-sheet.txt"), sheet(&chosen)),
    ];
    files::make_folder(folder).map_err(|fault| vec![fault])?;
    files::write_new(&written)?;
    let names: Vec<&str> = written.iter().map(|(name, _)| name.as_str()).collect();
    let text = format!(
        "wrote {}\nnext: print the sheet and measure, fill in the survey, then\n  plymend check {}\n",
        names.join(", "),
        path("survey.ron")
    );
    Ok(Answer { text, ..Answer::default() })
}

fn chosen(panels: &[String]) -> Result<Vec<Chosen>, Vec<Diagnostic>> {
    let mut chosen: Vec<Chosen> = Vec::new();
    let mut faults = Vec::new();
    let known: Vec<&'static str> = built_in::names().collect();
    for wanted in panels {
        let Some((generic, text)) = known
            .iter()
            .find(|name| *name == wanted)
            .and_then(|name| built_in::panel(name).map(|text| (*name, text)))
        else {
            faults.push(typed_wrongly(
                "--panel",
                "READ-NAME-UNKNOWN",
                format!("there is no generic moulding called {wanted:?}"),
                row_of(&known),
                nearest(wanted, known.iter().copied()).map_or_else(
                    || "choose one of them".to_owned(),
                    |near| format!("write {near} if that is meant"),
                ),
            ));
            continue;
        };
        let before = chosen.iter().filter(|other| other.generic == generic).count();
        let name =
            if before == 0 { generic.to_owned() } else { format!("{generic} {}", before + 1) };
        match ron_file::parse::<Panel>(&built_in::shown(generic), text) {
            Ok((panel, _)) => chosen.push(Chosen { generic, name, panel }),
            Err(fault) => faults.push(fault),
        }
    }
    if faults.is_empty() { Ok(chosen) } else { Err(faults) }
}

/// The sizes that a tape and a straight edge give: field, figure of the generic moulding, how.
fn sizes(panel: &Panel) -> Vec<(&'static str, f64, &'static str)> {
    match &panel.surface {
        Some(SurfaceForm::Moulding(moulding)) => vec![
            (
                "length_mm",
                moulding.length_mm.value(),
                "tape over the skin along the middle, edge to edge",
            ),
            (
                "width_mm",
                moulding.width_mm.value(),
                "tape over the skin across the middle, edge to edge",
            ),
            (
                "crown_along_mm",
                moulding.crown_along_mm.value(),
                "rise of the middle, by straight edge and blocks",
            ),
            (
                "crown_across_mm",
                moulding.crown_across_mm.value(),
                "rise of the middle across, in the same way",
            ),
            (
                "edge_return_mm",
                moulding.edge_return_mm.value(),
                "depth of the turned edge, taped over its bend; 0 without",
            ),
            (
                "corner_radius_mm",
                moulding.corner_radius_mm.value(),
                "radius of the corners of the face",
            ),
            (
                "taper_mm",
                moulding.taper_mm.value(),
                "how much narrower the far end is than the near end",
            ),
            (
                "twist_mm",
                moulding.twist_mm.value(),
                "how far one corner stands off the plane of the other three",
            ),
        ],
        Some(SurfaceForm::Flat(flat)) => vec![
            ("length_mm", flat.length_mm.value(), "tape along the middle, edge to edge"),
            ("width_mm", flat.width_mm.value(), "tape across the middle, edge to edge"),
            ("corner_radius_mm", flat.corner_radius_mm.value(), "radius of the corners"),
        ],
        _ => Vec::new(),
    }
}

fn survey(chosen: &[Chosen]) -> String {
    let mut text = String::from(SURVEY_HEAD);
    for Chosen { generic, name, panel } in chosen {
        text.push_str(&format!(
            "        (\n            name: \"{name}\",\n            generic: \"{generic}\",\n            \
             // Take away the // before what you have measured. The figures that stand here are\n            \
             // those of the generic moulding; they are used and named as assumed until then.\n            size: (\n"
        ));
        for (field, value, how) in sizes(panel) {
            text.push_str(&format!("                // {field}: {value:.0}, // {how}\n"));
        }
        text.push_str(PANEL_TAIL);
    }
    text.push_str("    ],\n\n");
    text.push_str(MARKS_HEAD);
    if let Some(example) = example_mark(chosen) {
        text.push_str(&example);
    }
    text.push_str("    ],\n)\n");
    text
}

/// A mark on the first panel, commented out; it is sound as it stands.
fn example_mark(chosen: &[Chosen]) -> Option<String> {
    let first = chosen.first()?;
    let (a, b) = match first.panel.landmarks.as_slice() {
        [a, b, ..] => (a, b),
        _ => return None,
    };
    let (a_at, b_at) = (a.at.on_grid()?, b.at.on_grid()?);
    let along = b_at.0.value() - a_at.0.value();
    let up = b_at.1.value() - a_at.1.value();
    let reading = 0.7 * along.hypot(up);
    let side = if along.abs() >= up.abs() { "upper" } else { "rear" };
    Some(format!(
        "        // (\n        //     id: 1,\n        //     panel: \"{}\",\n        \
         //     kind: gel_crack,\n        \
         //     place: Taped(a: (\"{}\", {reading:.0}), b: (\"{}\", {reading:.0}), side: {side}),\n        \
         //     shape: Line(length_mm: 80, direction: Angle(30)),\n        \
         //     edges_move: no,\n        // ),\n",
        first.name, a.name, b.name
    ))
}

const SURVEY_HEAD: &str = "\
// A survey. Lengths in mm, temperatures in degrees C. Text after // is for the reader only.
// Everything but `format` may be left out; what is then assumed is listed in the answer.
(
    format: 1,
    client: \"\",
    author: \"\",
    interest: \"\", // what the author has to gain: none, owner, buyer, seller, repairer
    date: \"\",
    people: one, // one or two at the tape
    // air_c: 16,
    // humidity_percent: 60,
    // hours_dry: 72, // since the last wash, rain or wet ground
    shop: \"shop.ron\",

    // What is stored in the vehicle: unknown, present, taken_out or absent. Unknown counts as
    // present.
    energy: (traction_battery: unknown, fuel: unknown, pyrotechnic: unknown),
    // Tests that have to come before sanding: untested, none_there, or who found what and when, as
    // in Clear(by: \"a laboratory\", date: \"May\") and Found(by: ..., date: ..., what: \"lead\").
    old_paint: untested, // for lead and chromate
    underseal: untested, // for asbestos; an old filler's test stands with its mark
    topcoat: unnamed, // unnamed, two_pack_isocyanate, brush_enamel or gel_finish

    panels: [
";

const PANEL_TAIL: &str = "            ),
            // u_runs: to_the_left, // where zero is at your right as you stand before the panel
            // thickness_mm: 3.0, // of the glass alone, at a cut edge or an opening
            // material: hand_laid_polyester, // with a rough back; left out: not known
            // roles: [skin], // skin, opens, holds_people, stressed; left out: as the generic has it
            // fixings: none_seen, // only after looking at both sides; or Listed([...])
            back: unknown, // reached, not_seen or closed
        ),
";

const MARKS_HEAD: &str = "\
    // What nobody could look at, and why; the answer names it.
    not_examined: [
        // (what: \"underside of the floor\", why: \"vehicle on its wheels\"),
    ],

    // One entry a mark. Kinds: crazing, gel_crack, chip, star, crack_at_fixing, delamination,
    // blisters, old_repair, through_crack, hole, other.
    // Cracks are Line or Traced; the others Spot, Patch or a closed Traced.
    marks: [
";

const SHOP: &str = "\
// Where the work is done. The two temperatures are examples: write your own. Readings hour by
// hour go into a file of their own, named here under climate instead of the two and the humidity.
(
    format: 1,
    name: \"\",
    day_c: 20, // coldest of air, panel and resin while laying up and until it has gelled
    night_c: 15, // after that
    // humidity_percent: 60,
    // panel_c: 18, // where the panel is not as warm as the air
    // resin_c: 18, // where the resin is not as warm as the air
    // outdoor_c: 8, // where the fresh air comes from
    place: joined_to_dwelling, // or own_building, outdoors_under_cover, spray_booth, spray_room
    floor: unknown, // level, or pit_or_cellar
    // room_m3: 45, // length x width x height in metres
    // air_changes_per_h: 0.3,
    // fan_m3_h: 1000, // air driven through by a fan
    // acetone_l: 1, // kept for cleaning tools; left out, one litre is assumed
    heaters: [], // flued, unflued, glowing_element, sealed, unknown
    worker: owner, // or trade
    people: 1, // who lay up at the same time
)
";

fn sheet(chosen: &[Chosen]) -> String {
    let mut text = String::from(
        "MEASURING SHEET\n\
         Tape: flexible, laid over the skin, not sighted across. Read to the nearest mm.\n\
         Straight edge: as long as the panel. On a crowned panel it rocks, so set it on two\n\
         equal blocks at the ends; the rise is the block's height less the gap in the middle.\n\
         Write the figures into survey.ron under the name in brackets.\n\n\
         Date ____________  By ____________  Tape held by  one [ ]  two [ ]\n\
         Air ______ C  Humidity ______ %  Hours since last wet ______\n",
    );
    for Chosen { name, panel, .. } in chosen {
        text.push_str(&format!("\n{}\nPANEL: {name}\n{}\n\n", "=".repeat(72), "=".repeat(72)));
        text.push_str("Sizes\n");
        for (field, _, how) in sizes(panel) {
            text.push_str(&format!("  ________ mm  [{field}]\n               {how}\n"));
        }
        text.push_str(
            "  ________ mm  [thickness_mm]\n               glass alone, with a caliper at a cut \
             edge or an opening\n\n\
             Back   reached [ ]   could be reached, not looked at [ ]   closed in [ ]   [back]\n\
             Back looks   rough, fibres to be seen [ ]   smooth [ ]\n\n\
             Landmarks to tape from (mark them with tape)\n",
        );
        for landmark in &panel.landmarks {
            text.push_str(&format!("  [ ] {}\n", landmark.name));
        }
        text.push_str("\nFixings: what such a panel usually has. Look at both sides.\n");
        match &panel.fixings {
            Fixings::Listed(fixings) => {
                for fixing in fixings {
                    text.push_str(&format!(
                        "  {} ({})\n      there [ ]  not there [ ]   sound [ ]  loose [ ]  \
                         cracked [ ]  corroded [ ]\n",
                        fixing.name,
                        fixing.carries.words()
                    ));
                }
            }
            Fixings::NoneSeen | Fixings::Unknown => text.push_str("  none is usual\n"),
        }
        text.push_str("  others: ______________________________________________  none seen [ ]\n");
        text.push_str(
            "\nMarks   side: O outer, B back.  Tapes to the middle of the mark; say upper,\n\
             lower, front or rear of the line between the two landmarks.\n\
             no | side | kind            | from ........ mm | from ........ mm | word  | length x width\n",
        );
        for number in 1..=10 {
            text.push_str(&format!(
                "{number:>2} |      |                 |                  |                  |       |\n"
            ));
        }
        text.push_str(
            "Lips move when pressed?  numbers: ________   open to the back?  numbers: ________\n",
        );
    }
    text.push_str(&format!(
        "\n{}\nNot looked at, and why: ____________________________________________\n",
        "=".repeat(72)
    ));
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use plymend::model::survey::Survey;

    #[test]
    fn the_commented_parts_are_sound_as_well() {
        let all: Vec<String> = built_in::names().map(str::to_owned).collect();
        let chosen = chosen(&all).unwrap_or_else(|faults| panic!("{}", faults[0]));
        let text = survey(&chosen);
        let bare: String = text
            .lines()
            .map(|line| {
                let code = line.trim_start();
                // Prose starts with a capital or goes on in lower case without a colon or bracket.
                let is_prose = code.starts_with("// ")
                    && !code.contains("_mm:")
                    && !["// (", "// )", "//     ", "// air_c", "// humidity", "// hours_dry"]
                        .iter()
                        .any(|start| code.starts_with(start))
                    && !["// material", "// roles", "// fixings"]
                        .iter()
                        .any(|start| code.starts_with(start));
                if is_prose {
                    "\n".to_owned()
                } else {
                    format!("{}\n", code.trim_start_matches("// "))
                }
            })
            .collect();
        let (survey, _) = ron_file::parse::<Survey>("survey.ron", &bare)
            .unwrap_or_else(|fault| panic!("{fault}\n{bare}"));
        assert_eq!(survey.marks.len(), 1);
        assert_eq!(survey.not_examined.len(), 1);
        assert!(survey.panels.iter().all(|panel| panel.size.length_mm.is_some()));
    }
}
