//! What was assumed, what the user changed, and what the answer does not hold.

use super::findings::depth_words;
use super::model::*;
use crate::damage::Finding;
use crate::model::shop::Habits;
use crate::model::survey::MarkKind;
use crate::read::job::Job;
use crate::repair::{Action, Decision, Plan};
use crate::rules::{Book, id};
use crate::shop::plan::ShopPlan;
use crate::surface::placed::PlacedPanel;

/// In the order of the answer.
pub(super) fn assumptions(
    job: &Job,
    panels: &[PlacedPanel<'_>],
    findings: &[Finding<'_>],
    plan: &Plan<'_>,
    shop: &ShopPlan,
) -> Vec<Assumption> {
    let mut found: Vec<Assumption> = Vec::new();
    let mut add = |rule: &str, text: String| {
        found.push(Assumption { text, rule: rule.to_owned() });
    };
    for panel in panels {
        let name = &panel.of.name;
        let parent = crate::damage::depth::parent(&panel.of.panel, &job.book, |_| 1.1);
        if parent.assumed {
            add(id::THICKNESS_ASSUMED, format!("{name}: {:.1} mm of glass", parent.glass_mm));
        } else if parent.taken_off_mm > 0.0 {
            add(
                id::GEL_ASSUMED,
                format!(
                    "{name}: {:.2} mm of gel coat and paint taken off the measured thickness",
                    parent.taken_off_mm
                ),
            );
        }
        for text in &panel.of.assumptions {
            add(id::GENERIC_PANEL, text.clone());
        }
        for text in &panel.notes {
            add(id::SCAN_TAKEN, text.clone());
        }
    }
    let taken_as_mat: Vec<&str> = plan
        .repairs
        .iter()
        .filter(|repair| {
            repair.areas.high.parent_match.as_ref().is_some_and(|found| found.parent_assumed)
        })
        .map(|repair| repair.id.as_str())
        .collect();
    if !taken_as_mat.is_empty() {
        add(
            id::MATCH_MEMBRANE_LEAST,
            format!(
                "plies of the skin round {}: not known, taken as mat of the stock's glass content all through",
                taken_as_mat.join(", ")
            ),
        );
    }
    add(
        id::LOOKED_AT,
        "outer sides: looked at all over, except what the survey says was not examined".to_owned(),
    );
    for (finding, decision) in findings.iter().zip(&plan.decisions) {
        let mark = finding.mark();
        if finding.depth.assumed {
            let depth = finding.depth.cases.map(|depth| depth_words(*depth));
            add(
                id::DEPTH_ASSUMED,
                format!(
                    "mark {}: depth {} / {} / {}; {}",
                    mark.id,
                    depth.low,
                    depth.likely,
                    depth.high,
                    settled_by(job, finding, decision)
                ),
            );
        }
        for (rule, text) in &finding.placed.notes {
            add(rule, format!("mark {}: {text}", mark.id));
        }
        let back =
            panels.get(finding.placed.panel).map(|panel| mark.back.unwrap_or(panel.of.panel.back));
        let works_behind = finding.depth.full || finding.depth.through;
        if works_behind
            && decision.action == Action::Repair
            && matches!(
                back,
                Some(
                    crate::model::panel::BackAccess::NotSeen
                        | crate::model::panel::BackAccess::Unknown
                )
            )
        {
            add(
                id::BACK_UNSEEN,
                format!(
                    "mark {}: the back is taken to be within reach; nobody has looked",
                    mark.id
                ),
            );
        }
    }
    behind_the_cautions(job, plan, shop, &mut add);
    if !plan.repairs.is_empty() {
        let own = job.shop.as_ref().map(|(_, shop)| shop);
        if own.is_none_or(|shop| shop.labour.is_none()) {
            add(
                id::LABOUR_HOURS,
                "hours of work: from the default table, recalled and unconfirmed".to_owned(),
            );
        }
        let (calendar, assumed) = crate::shop::timetable::calendar(own);
        if assumed {
            add(id::OPENING, format!("shop open {}", super::lines_timetable::open(&calendar)));
        }
        add(
            id::WASTE_MAT_ODD,
            "shopping list: usual packs, default figures of what is used up, tissue 1 m wide, what mat loses; the drawn spread of the need on defaults too".to_owned(),
        );
        let [gap, short, long] =
            [id::CUT_GAP, id::OFFCUT_SHORT, id::OFFCUT_LONG].map(|rule| job.book.figure(rule));
        add(
            id::CUT_GAP,
            format!(
                "cut plans of `quote` and `patterns`: pieces {gap} mm apart, what is over worth keeping from {short} x {long} mm"
            ),
        );
        if job.prices.is_some() {
            add(
                id::QUOTE_CONTINGENCY,
                "price: every piece of access work in the price file once".to_owned(),
            );
        }
        let cold_panel = shop.place.pour.is_some_and(|pour| pour.panel_c < pour.air_c);
        let asked = shop.gates.iter().any(|gate| gate.gate.is_shut());
        if shop.place.course.is_some() || cold_panel || asked {
            let [quick_h, slow_h] =
                [id::PANEL_QUICK, id::PANEL_SLOW].map(|rule| job.book.figure(rule));
            add(
                id::PANEL_SLOW,
                format!(
                    "panels lag behind the air by {quick_h} h (bare skin) to {slow_h} h (whole vehicle)"
                ),
            );
        }
        if asked && shop.place.room.is_some() {
            let [least, most] =
                [id::WALL_LOSS_LEAST, id::WALL_LOSS_MOST].map(|rule| job.book.figure(rule));
            add(
                id::WALL_LOSS_MOST,
                format!(
                    "a room to be warmed loses {least} to {most} W/m²K over the walls of a cube"
                ),
            );
        }
        if job.stock.mats.iter().any(|mat| mat.roll_width_mm.is_none()) {
            let width_mm = job.book.figure(id::ROLL_WIDTH);
            add(id::ROLL_WIDTH, format!("rolls whose width the stock does not say: {width_mm} mm"));
        }
    }
    if job.shop.is_none() {
        add(id::SURVEY_CLIMATE, format!("climate taken from {}", shop.place.from));
    }
    if shop.place.room_assumed
        && let Some(room) = &shop.place.room
    {
        add(
            id::AIR_CHANGES,
            format!(
                "room of {:.0} m³ with {} air changes an hour",
                room.volume_m3, room.air_changes_h
            ),
        );
    }
    found
}

/// Defaults that stand behind figures of the cautions.
fn behind_the_cautions(
    job: &Job,
    plan: &Plan<'_>,
    shop: &ShopPlan,
    add: &mut dyn FnMut(&str, String),
) {
    if plan.repairs.is_empty() {
        return;
    }
    let own = job.shop.as_ref().map(|(_, shop)| shop);
    if own.is_none_or(|shop| shop.acetone_l.is_none()) && !shop.sittings.is_empty() {
        let litres = job.book.figure(id::ACETONE_ASSUMED);
        add(id::ACETONE_ASSUMED, format!("{litres} l of acetone kept for cleaning tools"));
    }
    let film_mm = job.book.figure(id::PAINT_FILM);
    add(id::PAINT_FILM, format!("{film_mm} mm of old paint at 1500 kg/m³, for the dust"));
    let pace = job.book.figure(id::SANDING_PACE);
    add(id::SANDING_PACE, format!("{pace} h/m² of grinding and sanding by the trade"));
    if shop.place.room.is_some() && own.is_none_or(|shop| shop.outdoor_c.is_none()) {
        add(
            id::SURVEY_CLIMATE,
            "air outdoors as warm as in the survey's reading, else as by night in the shop, for the heat that fresh air takes".to_owned(),
        );
    }
}

/// Who may find out how deep a mark goes. A trial grind is grinding: never into what may hold
/// asbestos or lead, and never at what somebody else has to look at.
fn settled_by(job: &Job, finding: &Finding<'_>, decision: &Decision) -> &'static str {
    let old_repair = finding.mark().kind == MarkKind::OldRepair;
    match decision.action {
        Action::Refer | Action::Held => "whoever takes it on finds out; no trial grind before",
        _ if old_repair && finding.mark().old_filler.may_hold() => {
            "no trial grind before a laboratory has cleared the filler"
        }
        _ if job.survey.old_paint.may_hold() => {
            "a trial grind settles it, once the paint has been tested clear"
        }
        _ => "a trial grind settles it",
    }
}

/// In the order of the answer.
pub(super) fn settings(book: &Book, habits: Habits) -> Vec<SettingLine> {
    let mut found: Vec<SettingLine> = book
        .settings()
        .iter()
        .map(|setting| {
            let list = |figures: &[f64]| {
                figures.iter().map(ToString::to_string).collect::<Vec<_>>().join(" / ")
            };
            let verb = if setting.weakened { "weakened" } else { "changed" };
            let why =
                if setting.why.is_empty() { String::new() } else { format!(": {}", setting.why) };
            SettingLine {
                rule: setting.id.clone(),
                text: format!(
                    "{verb} from {} to {} {} by the user{why}",
                    list(&setting.from),
                    list(&setting.to),
                    setting.unit
                ),
                weakened: setting.weakened,
            }
        })
        .collect();
    found.extend(changed(habits));
    found
}

/// Habits of the shop that differ from the default.
fn changed(own: Habits) -> Vec<SettingLine> {
    let usual = Habits::default();
    let mut found = Vec::new();
    let mut differ = |what: &str, own: &str, usual: &str| {
        if own != usual {
            found.push(SettingLine {
                rule: id::SHOP_HABITS.to_owned(),
                text: format!("{what}: {own}, in place of {usual}, by the shop's habit"),
                weakened: false,
            });
        }
    };
    differ("order of plies", own.ply_order.words(), usual.ply_order.words());
    differ("gel cracks of unknown depth", own.gel_cracks.words(), usual.gel_cracks.words());
    differ("behind", own.backing.words(), usual.backing.words());
    differ("over epoxy", own.on_epoxy.words(), usual.on_epoxy.words());
    found
}

/// In the order of the answer.
pub(super) fn not_included(job: &Job) -> Vec<String> {
    let mut found = vec!["drawings at full size: `plymend patterns` makes them".to_owned()];
    if job.prices.is_none() {
        found.push("money: nobody named a price file".to_owned());
    }
    if !job.survey.note.is_empty() {
        found.push(format!("the survey's note, kept word for word: {}", job.survey.note));
    }
    found
}
