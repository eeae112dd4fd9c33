//! Two surveys on one map: marks as they are, and dotted as they were.

use std::collections::BTreeSet;

use super::content::{Content, Shown, Spot, regions, skin};
use super::fixed::sign;
use super::ground::{outline, own, pieces};
use super::ink::{Pen, Sign};
use super::{Mapped, Maps, key_of, panel_maps};
use crate::damage::Finding;
use crate::damage::change::claim::Claim;
use crate::damage::change::{Change, Looked};
use crate::repair::Action;
use crate::surface::marks::Form;
use crate::surface::mesh::{Mesh, MeshPoint};

/// Maps of every panel on which one of two surveys has a mark. `of` is the later survey; the earlier
/// one lies on the same skins.
///
/// # Errors
/// In words: a mesh far too fine.
pub fn of_both(
    of: &Mapped<'_, '_>,
    earlier: &Looked<'_>,
    changes: &[Change],
) -> Result<Maps, String> {
    let home = |finding: &Finding<'_>| {
        of.panels.iter().position(|panel| panel.of.name == finding.mark().panel)
    };
    let now = of.findings.iter().map(|one| one.placed.panel);
    let then = earlier.findings.iter().filter_map(home);
    let numbers: BTreeSet<usize> = now.chain(then).collect();
    let (panels, used) = panel_maps(of, numbers.into_iter().collect(), &|number| {
        Ok(content(of, earlier, changes, number))
    })?;
    Ok(Maps { overview: Vec::new(), panels, key: key_of(used) })
}

fn content(
    of: &Mapped<'_, '_>,
    earlier: &Looked<'_>,
    changes: &[Change],
    number: usize,
) -> Content {
    let mut found = Content::default();
    let Some(panel) = of.panels.get(number) else { return found };
    let on = panel.by_itself();
    skin(on, &mut found);
    for finding in earlier.findings.iter().filter(|one| one.mark().panel == panel.of.name) {
        let lines = own(of.panels, (number, number), &seen(&panel.mesh, finding));
        found.draw(Pen::Before, format!("before {}", finding.mark().id), lines);
    }
    for (finding, decision) in of.findings.iter().zip(&of.plan.decisions) {
        if finding.placed.panel == number {
            let refer = decision.action == Action::Refer;
            let pen = if refer { Pen::Referred } else { Pen::Seen };
            let lines = own(of.panels, (number, number), &seen(&panel.mesh, finding));
            found.draw(pen, format!("seen {}", finding.mark().id), lines);
        }
    }
    for change in changes {
        spot(of, earlier, change, number, &mut found);
    }
    for fixing in &on.fixings {
        found.spot(fixing.at, sign(fixing.of.state), vec![fixing.of.name.clone()]);
    }
    regions(on, &mut found);
    found
}

/// The lines of a mark as it was seen.
fn seen(mesh: &Mesh, finding: &Finding<'_>) -> Vec<Vec<MeshPoint>> {
    let mut lines = match &finding.placed.form {
        Form::Line(line) => pieces(mesh, &line.pieces),
        Form::Patch(_) => outline(mesh, &finding.extents.seen.origin),
    };
    lines.extend(finding.placed.lines.iter().flat_map(|line| pieces(mesh, line)));
    lines
}

/// What became of a mark, at its place now or, where it was not found, at its place then.
fn spot(
    of: &Mapped<'_, '_>,
    earlier: &Looked<'_>,
    change: &Change,
    number: usize,
    found: &mut Content,
) {
    let now: Vec<&Finding<'_>> =
        change.later.iter().filter_map(|one| of.findings.get(*one)).collect();
    let then: Vec<&Finding<'_>> =
        change.earlier.iter().filter_map(|one| earlier.findings.get(*one)).collect();
    let Some(first) = now.first().or(then.first()) else { return };
    let here = of.panels.get(number).is_some_and(|panel| panel.of.name == first.mark().panel);
    if !here {
        return;
    }
    let ids = |list: &[&Finding<'_>]| -> String {
        list.iter().map(|one| one.mark().id.to_string()).collect::<Vec<_>>().join(" + ")
    };
    let (today, before) = (ids(&now), ids(&then));
    let name = match (now.is_empty(), then.is_empty() || today == before) {
        (true, _) => format!("{before}, earlier"),
        (false, true) => today.clone(),
        (false, false) => format!("{today}, earlier {before}"),
    };
    let mut words = vec![format!("{name}: {}", change.verdict.words())];
    for size in change.sizes.iter().filter(|size| !size.is_area && size.claim != Claim::NotMeasured)
    {
        words.push(format!("{} {:.0} to {:.0} mm", size.what, size.before, size.now));
    }
    let at = first.placed.at;
    found.marks.extend(now.iter().map(|one| one.mark().id));
    let said = format!("mark {name}, {}, {}", first.mark().kind.words(), words.join(", "));
    found.shown.push(Shown { at, words: said });
    found.spots.push(Spot { at, sign: Sign::Mark, words, bold: true, on_it: false });
}
