//! Raises the cautions whose trigger is met and writes them with their figures.

use super::{Scene, raise_vehicle};
use crate::materials::ResinKind;
use crate::model::shop::ShopPlace;
use crate::model::survey::{HazardTest, MarkKind, Topcoat};
use crate::quantity::Case;
use crate::shop::climate::Gate;
use crate::shop::cure::Kinetics;

/// A caution that is raised.
#[derive(Debug, Clone, PartialEq)]
pub struct Raised {
    /// Its code.
    pub code: &'static str,
    /// What raised it, with the figure.
    pub trigger: String,
    /// What to do.
    pub text: String,
    /// It blocks a step.
    pub blocks: bool,
}

/// Every caution of a job, in the order of the table.
#[must_use]
pub fn raise(scene: &Scene<'_>) -> Vec<Raised> {
    let mut found = Vec::new();
    let mut add = |code: &'static str, trigger: String, text: String, blocks: bool| {
        found.push(Raised { code, trigger, text, blocks });
    };
    styrene(scene, &mut add);
    catalyst_and_pots(scene, &mut add);
    dust_and_old_layers(scene, &mut add);
    paint(scene, &mut add);
    raise_vehicle::vehicle(scene, &mut add);
    raise_vehicle::marks(scene, &mut add);
    cure(scene, &mut add);
    let order = |code: &str| super::table::CAUTIONS.iter().position(|row| row.code == code);
    found.sort_by_key(|caution| order(caution.code));
    found
}

/// Takes a caution: code, trigger, text, whether it blocks.
pub(super) type Add<'a> = &'a mut dyn FnMut(&'static str, String, String, bool);

fn poured_kg(scene: &Scene<'_>) -> f64 {
    scene.shop.sittings.iter().map(|sitting| sitting.poured_kg).sum()
}

fn styrene(scene: &Scene<'_>, add: Add<'_>) {
    let Some(air) = &scene.shop.air else { return };
    let Some(sitting) = scene.shop.sittings.get(air.worst) else { return };
    let [low, _, high] = sitting.styrene_g;
    let where_to = scene.shop.place.place.words();
    let room = scene.shop.place.room.as_ref();
    let blocked = air.gate.is_shut();
    if blocked && let (Some(peak), Some(room)) = (air.peak_ppm, room) {
        let most = air.most_resin_kg.unwrap_or(0.0);
        add(
            "STY-STOP",
            format!(
                "{:.2} kg laid in one sitting in {:.0} m³ ({where_to}) reaches {peak:.0} ppm",
                sitting.poured_kg, room.volume_m3
            ),
            format!(
                "Do not lay this here as the room stands: 700 ppm is immediately dangerous to life. Work outdoors under cover first, or drive the fresh air named above; this room as it is takes no more than {most:.2} kg in a sitting before it is stopped, and far less within any limit for breathing. Check the current local limit and the data sheet.",
            ),
            true,
        );
    }
    let strictest = air
        .limits
        .iter()
        .filter(|(limit, _, _)| limit.over == crate::shop::limits::Over::EightHours)
        .min_by(|one, other| one.0.ppm.total_cmp(&other.0.ppm));
    let fresh = strictest.map_or(String::new(), |(limit, flow, _)| {
        format!(
            " Fresh air to stay at the strictest limit held ({}, {} ppm over 8 h): {flow:.0} m³/h while you lay it; the same air has to be warmed.",
            limit.set, limit.ppm
        )
    });
    let reaches = match (air.peak_ppm, air.all_at_once_ppm) {
        (Some(peak), Some(all)) => format!(
            " The room reaches {peak:.0} ppm, and {all:.0} ppm if everything were laid at once."
        ),
        _ => " Outdoors the wind decides: stay upwind, keep others away.".to_owned(),
    };
    add(
        "STY-VENT",
        format!(
            "the largest sitting pours {:.2} kg and gives off {low:.0} to {high:.0} g of styrene",
            sitting.poured_kg
        ),
        format!(
            "Lay one repair a sitting and clear the room before the next.{reaches}{fresh} Check the current local limit and the data sheet."
        ),
        false,
    );
    let needed = strictest.map_or(0.0, |(_, _, factor)| *factor);
    let factor = if needed > 0.0 {
        format!(
            " Near the job it is {:.0} ppm: a mask has to divide that by {needed:.0}{}",
            air.near_ppm.unwrap_or(0.0),
            if needed > 10.0 {
                ", which no half mask does: air-fed, or less resin and more air."
            } else {
                "."
            }
        )
    } else {
        String::new()
    };
    add(
        "STY-RPE",
        format!("styrene while laying: {high:.0} g; dust while grinding"),
        format!(
            "Mask for all grinding and laying up: half mask with A2P3 filters at the least, fit-tested, clean-shaven; goggles; gloves.{factor} A filter mask does not make two-pack spraying safe."
        ),
        false,
    );
    add(
        "STY-FIRE",
        format!("{high:.0} g of styrene vapour, flammable from 0.9 % in air; acetone from 2.5 %"),
        "No flame, spark, pilot light, hot tool or smoking in the room or next to it; vapour is heavier than air and runs along the floor: take air out low.".to_owned(),
        false,
    );
    if scene.shop.place.place == ShopPlace::JoinedToDwelling {
        let until = air.purge_min.map_or_else(
            || "until it has been cleared by driven air".to_owned(),
            |minutes| {
                format!(
                    "for at least {} after the last pour in that sitting",
                    crate::quantity::Minutes(minutes).in_words()
                )
            },
        );
        add(
            "HOME",
            format!("the shop is {where_to}, or nobody has said that it is not"),
            format!(
                "Nobody else and no animals in the building {until}; seal the door to the house, take the air outwards, pilot lights and thermostats off at their source first, no shared laundry, pots and peroxide locked away. Limits for work are not for homes, children, pregnancy or pets."
            ),
            false,
        );
    }
    add(
        "PREG",
        "styrene is given off".to_owned(),
        "Anyone who is or may be pregnant, or nursing, and anyone with asthma keeps out; ask a doctor, not this page.".to_owned(),
        false,
    );
    add(
        "LIMITS",
        "figures of air are given".to_owned(),
        "They are room averages from published factors, not a measurement; the head over the job breathes more. They bind nobody: local law and the data sheet do.".to_owned(),
        false,
    );
}

fn catalyst_and_pots(scene: &Scene<'_>, add: Add<'_>) {
    let kinds: Vec<ResinKind> = scene.materials.iter().map(|repair| repair.high.kind).collect();
    let poured = poured_kg(scene);
    if poured <= 0.0 {
        return;
    }
    let peroxide = kinds.iter().any(|kind| *kind != ResinKind::Epoxy)
        || scene.materials.iter().any(|repair| repair.high.coat.1.value() > 0.0);
    if peroxide {
        let unsure = if kinds.contains(&ResinKind::NotKnown) {
            "peroxide is needed if the resin turns out to be polyester"
        } else {
            "MEKP catalyst is used"
        };
        add(
            "CAT-EYE",
            unsure.to_owned(),
            "Goggles or face shield and gloves before the bottle is opened. In the eye: rinse at once, within 10 seconds, at a running tap, 15 minutes without stopping, then a hospital; a bottle of water is only a bridge. No tap within reach: do not open the bottle.".to_owned(),
            false,
        );
        add(
            "CAT-SOLV",
            unsure.to_owned(),
            "Never with acetone, never straight with accelerator, never on metal, rag, paper or sawdust; no shared cup. Spills: water or wet mineral only. Store cool, dark, in its own bottle.".to_owned(),
            false,
        );
        add(
            "ALONE",
            "peroxide is handled".to_owned(),
            "Somebody within call who knows where the tap is.".to_owned(),
            false,
        );
    }
    if kinds.contains(&ResinKind::Epoxy) {
        add(
            "SENS",
            "epoxy resin is used".to_owned(),
            "Stop at the first itch or wheeze: who is sensitised stays so for life. The mix ratio is never a speed control.".to_owned(),
            false,
        );
    }
    let on_epoxy = scene
        .materials
        .iter()
        .any(|repair| repair.high.kind == ResinKind::Epoxy && repair.high.coat.1.value() > 0.0);
    if on_epoxy {
        add(
            "GEL-EPOXY",
            "gel or flow coat goes on epoxy work".to_owned(),
            "Wash off the blush with water, abrade with 80 grit, try it on a spot first; a pressed moulding has no gel coat of its own: ask the paint's maker what goes on it instead.".to_owned(),
            false,
        );
    }
    let doses: Vec<String> = scene
        .shop
        .gates
        .iter()
        .filter(|gate| gate.step.contains("dose"))
        .filter_map(|gate| match &gate.gate {
            Gate::Open => None,
            Gate::Warned { why } | Gate::Shut { why, .. } => Some(why.clone()),
        })
        .collect();
    if !doses.is_empty() {
        add(
            "CAT-DOSE",
            doses.join("; "),
            "Keep within the advised dose and warm the shop instead. Charts that go further exist; this program prints no such dose.".to_owned(),
            false,
        );
    }
    add(
        "EXO",
        format!("{poured:.2} kg is poured in the high case"),
        "Small mixes, spread out at once. A pot that warms: outdoors, away from anything that burns, under cold water, until it is cold; never back into the tin, never into a bin while warm.".to_owned(),
        false,
    );
    add(
        "SKIN",
        "resin is mixed".to_owned(),
        "Gloves that the data sheet names, long sleeves; no solvent on skin, wash before eating; overalls apart from the family's laundry.".to_owned(),
        false,
    );
    add(
        "WASTE",
        "resin is left over in every pot".to_owned(),
        "Liquid resin, catalyst and solvent never into a drain; hardened, cold resin where local rules take it; solvent rags in a lidded metal bin.".to_owned(),
        false,
    );
}

/// Density of mat and polyester at 30 % glass, kg/m3; computed from 2.56 and 1.20 g/cm3.
const LAMINATE_KG_M3: f64 = 1430.0;

/// Mass of laminate ground away in the high case, at most: the whole ground to the full depth.
fn dust_kg(scene: &Scene<'_>) -> f64 {
    scene
        .plan
        .repairs
        .iter()
        .map(|repair| {
            let areas = repair.areas.get(Case::High);
            let gel_m = scene.job.book.figure(crate::rules::id::GEL_ASSUMED) / 1000.0;
            let depth_m = areas.deepest_mm / 1000.0 + gel_m;
            areas.ground_mm2 * 1e-6 * depth_m * LAMINATE_KG_M3
        })
        .sum()
}

fn dust_and_old_layers(scene: &Scene<'_>, add: Add<'_>) {
    if scene.plan.repairs.is_empty() {
        return;
    }
    let dust = dust_kg(scene);
    add(
        "DUST",
        format!("up to {dust:.2} kg of glass and resin dust in the high case"),
        "Grind with extraction at the tool or outdoors, mask, goggles, gloves, closed cuffs; wash apart. Empty bags outdoors: fresh filler dust can heat by itself.".to_owned(),
        false,
    );
    let paint = scene.job.survey.old_paint;
    if matches!(paint, HazardTest::Untested | HazardTest::Found) {
        add(
            "LEAD-CR",
            format!("old paint: {}", paint.words()),
            "Take it for lead and chromate: no dry sanding, no hot air, not in or near a home, until a laboratory says otherwise.".to_owned(),
            true,
        );
    }
    let old: Vec<String> = scene
        .repaired()
        .map(|(_, finding)| finding.mark())
        .filter(|mark| {
            mark.kind == MarkKind::OldRepair
                && matches!(mark.old_filler, HazardTest::Untested | HazardTest::Found)
        })
        .map(|mark| mark.id.to_string())
        .collect();
    if !old.is_empty() {
        add(
            "ASB",
            format!("old filler not tested clear at mark {}", old.join(", ")),
            "It may hold asbestos: no sanding, dry scraping, blowing or vacuuming until a laboratory has tested a sample.".to_owned(),
            true,
        );
    }
}

fn paint(scene: &Scene<'_>, add: Add<'_>) {
    if scene.plan.repairs.is_empty() {
        return;
    }
    let topcoat = scene.job.survey.topcoat;
    if matches!(topcoat, Topcoat::Unnamed | Topcoat::TwoPackIsocyanate) {
        add(
            "ISO",
            format!("topcoat: {}", topcoat.words()),
            "Isocyanate is taken to be in it. Spraying is never an owner's task and never for an open workshop: booth, air-fed mask, nobody near until the measured clearing time is over. No filter mask makes it safe. Brushing and mixing it still splashes: gloves, goggles.".to_owned(),
            true,
        );
    }
}

fn cure(scene: &Scene<'_>, add: Add<'_>) {
    let damp: Vec<String> = scene
        .shop
        .gates
        .iter()
        .filter(|gate| !gate.step.contains("dose"))
        .filter_map(|gate| match &gate.gate {
            Gate::Open => None,
            Gate::Warned { why } | Gate::Shut { why, .. } => Some(format!("{}: {why}", gate.step)),
        })
        .collect();
    if !damp.is_empty() && !scene.plan.repairs.is_empty() {
        add(
            "DAMP",
            damp.join("; "),
            "Wait for better air or warm and dry it, panel and resin included; never more catalyst instead.".to_owned(),
            scene.shop.gates.iter().any(|gate| gate.gate.is_shut()),
        );
    }
    let glass_kg: f64 = scene.materials.iter().map(|repair| repair.high.glass().value()).sum();
    if glass_kg > 0.0 {
        let tg = Kinetics::GENERAL_PURPOSE.glass.at_conversion_c(0.82);
        add(
            "SUN-TG",
            format!("{glass_kg:.2} kg of glass is laid and not post-cured"),
            format!(
                "A day-old repair softens at about {tg:.0} °C by the model; a dark panel in the sun passes 60 °C. Keep it out of the sun and unloaded until it has cured."
            ),
            false,
        );
    }
}
