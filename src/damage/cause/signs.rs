//! What speaks for and against a cause: signs read from a mark as recorded and from what stands
//! round it. A sign is a fact with its figure; what it speaks for is in the table of causes.

use std::collections::BTreeMap;

use crate::damage::Finding;
use crate::damage::around::{Around, Stiff};
use crate::damage::pattern::{Lie, Pattern};
use crate::model::panel::Fixings;
use crate::model::survey::{BlisterLayer, Evidence, MarkKind, Tried};
use crate::model::words;
use crate::rules::{Book, id};
use crate::surface::marks::Form;
use crate::surface::placed::PlacedPanel;

words! {
/// A sign at a mark.
Sign {
    /// The lines run out from or round a fixing.
    LinesMeetAtFixing => "lines that run out from or round a fixing",
    /// A line points at a fixing near it.
    PointsAtFixing => "a line that points at a fixing near it",
    /// A fixing is near.
    NearFixing => "a fixing near it",
    /// The surveyor called it a crack at a fixing.
    KindAtFixing => "recorded as a crack at a fixing",
    /// Every fixing is listed and none is near.
    NoFixingNear => "no fixing near it, all being listed",
    /// The nearest fixing is loose, cracked or torn out.
    FixingLoose => "a loose, cracked or torn-out fixing near it",
    /// The lines run along a stiff line.
    AlongStiffLine => "lines along a stiff line",
    /// A stiff line is near.
    NearStiffLine => "a stiff line near it",
    /// No stiff line is near.
    NoStiffLineNear => "no known stiff line near it",
    /// The lines run along the rim of an old repair.
    AlongOldRepair => "lines along the rim of an old repair",
    /// An old repair is near.
    NearOldRepair => "an old repair near it",
    /// No recorded old repair is near.
    NoOldRepairNear => "no recorded old repair near it",
    /// Parallel lines.
    Parallel => "parallel lines",
    /// Lines from one point.
    Radial => "lines from one point",
    /// Rings.
    Rings => "rings",
    /// Traced lines that make no pattern.
    NoPattern => "no pattern in the traced lines",
    /// Over a wide area.
    Wide => "over a wide part of the panel",
    /// Over a small area.
    Small => "over a small area",
    /// Gel coat too thick.
    GelThick => "gel coat too thick",
    /// Gel coat of the usual thickness.
    GelUsual => "gel coat of the usual thickness",
    /// Its lips move.
    LipsMove => "lips that move",
    /// It is open to the back.
    Through => "open to the back",
    /// Torn edge.
    TornEdge => "a torn edge",
    /// Flexes.
    Flexes => "flexes under the thumb",
    /// Came back.
    CameBack => "back again after an earlier repair",
    /// No spreader.
    NoSpreader => "nothing spreads the load behind the fixing",
    /// Opens when worked.
    OpensWhenWorked => "opens when the fitting is worked",
    /// Worst in the sun.
    WorstInSun => "worst where the sun falls",
    /// A blow is known of.
    KnownBlow => "a blow here is known of",
    /// Broken fibre.
    BrokenFibre => "white or broken fibre",
    /// Heat near.
    HeatNear => "heat from something near it",
    /// Drummy.
    Drummy => "sounds dull",
    /// Wet.
    Wet => "wet",
    /// Reading above the reference.
    ReadingAbove => "moisture reading above the dry reference",
    /// Sour smell.
    SourSmell => "sour smell",
    /// Greasy.
    Greasy => "greasy to the touch",
    /// Clear water.
    ClearWater => "clear water when pricked",
    /// Solvent smell.
    SolventSmell => "smells of solvent",
    /// Hard and dry.
    HardDry => "hard and dry when opened",
    /// Gel whole beneath.
    GelWhole => "gel coat whole beneath when cut",
    /// In the paint.
    InPaint => "in the paint",
    /// Under the gel coat.
    InGel => "under the gel coat",
    /// In the laminate.
    InLaminate => "in the laminate",
    /// Stood wet.
    StoodWet => "stood wet for long",
    /// Dry fibre.
    DryFibre => "dry glass, never wetted",
    /// One-sided patch.
    OneSidedPatch => "an old patch on one side only",
}}

/// The signs at a mark, each in words with its figure.
pub type Signs = BTreeMap<Sign, String>;

/// Reads the signs of a mark; `panel_mm2` is the area of its panel's outer side.
#[must_use]
pub fn of(
    book: &Book,
    panel: &PlacedPanel<'_>,
    finding: &Finding<'_>,
    around: &Around,
    panel_mm2: f64,
) -> Signs {
    let mut signs = Signs::new();
    recorded(finding, &mut signs);
    lines(finding, around, &mut signs);
    fixings(book, panel, finding, around, &mut signs);
    stiff(book, finding, around, &mut signs);
    size(book, finding, panel_mm2, &mut signs);
    signs
}

fn recorded(finding: &Finding<'_>, signs: &mut Signs) {
    let mark = finding.mark();
    let mut plain = |sign: Sign| {
        signs.insert(sign, sign.words().to_owned());
    };
    for seen in &mark.evidence {
        let sign = match seen {
            Evidence::Through => Sign::Through,
            Evidence::Drummy => Sign::Drummy,
            Evidence::Wet => Sign::Wet,
            Evidence::Flexes => Sign::Flexes,
            Evidence::BrokenFibre => Sign::BrokenFibre,
            Evidence::LooseTornEdge => Sign::TornEdge,
            Evidence::OneSidedPatch => Sign::OneSidedPatch,
            Evidence::HeatNear | Evidence::HeatBelowGel => Sign::HeatNear,
            Evidence::CameBack => Sign::CameBack,
            Evidence::NoSpreader => Sign::NoSpreader,
            Evidence::OpensWhenWorked => Sign::OpensWhenWorked,
            Evidence::WorstInSun => Sign::WorstInSun,
            Evidence::KnownBlow => Sign::KnownBlow,
            Evidence::SourSmell => Sign::SourSmell,
            Evidence::Greasy => Sign::Greasy,
            Evidence::ClearWater => Sign::ClearWater,
            Evidence::SolventSmell => Sign::SolventSmell,
            Evidence::HardDry => Sign::HardDry,
            Evidence::GelWhole => Sign::GelWhole,
            Evidence::DryFibre => Sign::DryFibre,
            Evidence::StoodWet => Sign::StoodWet,
            // What pattern there is, is read below; the rest refers a mark and tells no cause.
            Evidence::Rings
            | Evidence::Parallel
            | Evidence::Radiating
            | Evidence::RustStain
            | Evidence::BatteryDamage
            | Evidence::SeamLettingGo
            | Evidence::Distortion
            | Evidence::DoesNotLatch => continue,
        };
        plain(sign);
    }
    if mark.kind == MarkKind::CrackAtFixing {
        plain(Sign::KindAtFixing);
    }
    if mark.kind.is_through() {
        plain(Sign::Through);
    }
    if mark.edges_move == Tried::Yes {
        plain(Sign::LipsMove);
    }
    match mark.layer {
        BlisterLayer::Unknown => {}
        BlisterLayer::Paint => plain(Sign::InPaint),
        BlisterLayer::Gel => plain(Sign::InGel),
        BlisterLayer::Laminate => plain(Sign::InLaminate),
    }
    if finding.reading_above {
        let said = finding.reading.clone().unwrap_or_default();
        signs.insert(Sign::ReadingAbove, said);
    }
}

/// How the traced lines lie, where there are enough of them to tell.
fn traced(around: &Around) -> Option<&Lie> {
    around.lie.as_ref().filter(|lie| lie.pattern != Pattern::TooFew)
}

/// The pattern: by the traced lines where there are enough, else by the surveyor's word.
fn lines(finding: &Finding<'_>, around: &Around, signs: &mut Signs) {
    if let Some(lie) = traced(around) {
        let (sign, said) = match lie.pattern {
            Pattern::Parallel => (
                Sign::Parallel,
                format!(
                    "parallel lines, {} traced, main direction {:.0}°",
                    lie.lines, lie.direction_deg
                ),
            ),
            Pattern::Radial => {
                (Sign::Radial, format!("lines from one point, {} traced", lie.lines))
            }
            Pattern::Rings => {
                (Sign::Rings, format!("rings round one point, {} lines traced", lie.lines))
            }
            Pattern::None | Pattern::TooFew => {
                (Sign::NoPattern, format!("no pattern in {} traced lines", lie.lines))
            }
        };
        signs.insert(sign, said);
        return;
    }
    for (word, sign) in [
        (Evidence::Parallel, Sign::Parallel),
        (Evidence::Radiating, Sign::Radial),
        (Evidence::Rings, Sign::Rings),
    ] {
        if finding.mark().evidence.contains(&word) {
            signs.insert(sign, format!("{}, by the surveyor's word", sign.words()));
        }
    }
}

fn fixings(
    book: &Book,
    panel: &PlacedPanel<'_>,
    finding: &Finding<'_>,
    around: &Around,
    signs: &mut Signs,
) {
    let near_mm = book.figure(id::REFER_BRACKET);
    let near: Vec<_> = around.fixings.iter().filter(|one| one.distance_mm <= near_mm).collect();
    let Some(nearest) = near.first() else {
        if matches!(panel.of.panel.fixings, Fixings::Listed(_) | Fixings::NoneSeen)
            && !panel.of.fixings_assumed
        {
            let said = format!("no fixing within {near_mm:.0} mm, all being listed");
            signs.insert(Sign::NoFixingNear, said);
        }
        return;
    };
    let (name, far_mm) = (&nearest.name, nearest.distance_mm);
    signs.insert(Sign::NearFixing, format!("{name:?} {far_mm:.0} mm away"));
    if nearest.state.has_failed() {
        signs.insert(Sign::FixingLoose, format!("{name:?} is {}", nearest.state.words()));
    }
    let aligned = book.figure(id::CAUSE_ALONG);
    let pointing = near.iter().find(|one| one.off_deg.is_some_and(|off| off <= aligned));
    if let (Some(one), Form::Line(_)) = (pointing, &finding.placed.form) {
        let off = one.off_deg.unwrap_or(0.0);
        signs.insert(Sign::PointsAtFixing, format!("points at {:?} within {off:.0}°", one.name));
    }
    // As near as the lines stand to each other, and no nearer than tapes can tell.
    let centred_mm = around.lie.as_ref().map_or(0.0, |lie| lie.length_mm / lie.lines.max(1) as f64);
    let centred_mm = centred_mm.max(book.figure(id::TAPE_ONE) + book.figure(id::TAPE_LANDMARK));
    let centred = near.iter().find(|one| one.from_centre_mm.is_some_and(|mm| mm <= centred_mm));
    if let Some(one) = centred {
        let mm = one.from_centre_mm.unwrap_or(0.0);
        signs.insert(
            Sign::LinesMeetAtFixing,
            format!("the centre of the traced lines is {mm:.0} mm from {:?}", one.name),
        );
    }
}

fn stiff(book: &Book, finding: &Finding<'_>, around: &Around, signs: &mut Signs) {
    let near_mm = book.figure(id::CAUSE_NEAR);
    let aligned = book.figure(id::CAUSE_ALONG);
    let near: Vec<_> = around.stiff.iter().filter(|one| one.distance_mm <= near_mm).collect();
    let is_old = |stiff: Stiff| matches!(stiff, Stiff::OldRepair(_));
    let place = |mm: f64| {
        if mm < 0.5 { "runs under it".to_owned() } else { format!("{mm:.0} mm away") }
    };
    let by_word = traced(around).is_none() && signs.contains_key(&Sign::Parallel);
    for (old, near_sign, along_sign, none_sign) in [
        (false, Sign::NearStiffLine, Sign::AlongStiffLine, Sign::NoStiffLineNear),
        (true, Sign::NearOldRepair, Sign::AlongOldRepair, Sign::NoOldRepairNear),
    ] {
        let of_kind: Vec<_> = near.iter().filter(|one| is_old(one.stiff) == old).collect();
        let Some(nearest) = of_kind.first() else {
            let said =
                format!("{} within {near_mm:.0} mm", none_sign.words().replace(" near it", ""));
            if finding.mark().kind != MarkKind::OldRepair || !old {
                signs.insert(none_sign, said);
            }
            continue;
        };
        signs.insert(near_sign, format!("{} {}", nearest.name, place(nearest.distance_mm)));
        let along = of_kind.iter().find(|one| one.off_deg.is_some_and(|off| off <= aligned));
        if let Some(one) = along {
            let off = one.off_deg.unwrap_or(0.0);
            let said =
                format!("runs within {off:.0}° of {} ({})", one.name, place(one.distance_mm));
            signs.insert(along_sign, said);
        } else if by_word && matches!(nearest.stiff, Stiff::Strip(_) | Stiff::OldRepair(_)) {
            let said = format!(
                "parallel by the surveyor's word, over {}; which way the lines run was not traced",
                nearest.name
            );
            signs.insert(along_sign, said);
        }
    }
}

fn size(book: &Book, finding: &Finding<'_>, panel_mm2: f64, signs: &mut Signs) {
    let mark = finding.mark();
    if let Form::Patch(patch) = &finding.placed.form
        && panel_mm2 > 0.0
    {
        let percent = 100.0 * patch.area_mm2 / panel_mm2;
        let sign = if percent >= book.figure(id::CAUSE_WIDE) { Sign::Wide } else { Sign::Small };
        signs.insert(sign, format!("covers {percent:.0} % of the panel"));
    }
    if let Some(gel) = mark.gel_mm {
        let most_mm = book.figure(id::GEL_THICK);
        let thick = gel.value() > most_mm;
        let sign = if thick { Sign::GelThick } else { Sign::GelUsual };
        let word = if thick { "more than" } else { "not more than" };
        signs.insert(
            sign,
            format!("gel coat {gel}, {word} the {most_mm:.2} mm at which it starts to crack"),
        );
    }
}
