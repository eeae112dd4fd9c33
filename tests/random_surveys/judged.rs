//! What the crate says of a random survey.

use std::collections::BTreeSet;
use std::sync::OnceLock;

use plymend::damage::{Finding, stops};
use plymend::model::panel::Role;
use plymend::read::job::{Job, Named, TextFolder, job};
use plymend::surface::mesh::Mesh;
use plymend::surface::placed::PlacedPanel;

use super::drawn::{Drawn, Mark, Panel, SKINS};
use super::laid::laid;
use super::written::{panel_file, survey};

/// What is said of one mark.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Said {
    /// It is referred.
    pub(crate) referred: bool,
    /// What must not be done because of it: rule and meaning.
    pub(crate) stops: BTreeSet<(String, String)>,
}

impl Said {
    /// What this says that `after` does not.
    pub(crate) fn lost(&self, after: &Self) -> Vec<String> {
        let mut lost = Vec::new();
        if self.referred && !after.referred {
            lost.push("its referral".to_owned());
        }
        lost.extend(
            self.stops.difference(&after.stops).map(|(rule, text)| format!("{rule}: {text}")),
        );
        lost
    }
}

/// Each skin meshed once.
fn mesh(skin: usize) -> &'static Mesh {
    static MESHES: OnceLock<Vec<Mesh>> = OnceLock::new();
    let of = |skin| {
        let job = read("(format: 1, panels: [(name: \"p\", file: \"p.ron\")])", skin);
        let mut panels = plymend::skins(&job).unwrap_or_else(|faults| panic!("{faults:#?}"));
        panels.remove(0).mesh
    };
    &MESHES.get_or_init(|| (0..SKINS.len()).map(of).collect())[skin]
}

fn read(survey: &str, skin: usize) -> Job {
    let panel = panel_file(skin);
    let texts = TextFolder::from([("survey.ron", survey), ("p.ron", panel.as_str())]);
    job(&texts, "survey.ron", &Named::default())
        .unwrap_or_else(|faults| panic!("{survey}\n{faults:#?}"))
}

fn said(finding: &Finding<'_>, panel: &PlacedPanel<'_>) -> Said {
    let referred = !finding.judged.reasons.is_empty();
    // As in the report: a mark is spoken of when it is referred or something was seen at it.
    let spoken = referred || !finding.mark().evidence.is_empty();
    let stops = if spoken { finding.stops(panel) } else { Vec::new() };
    let mut stops: BTreeSet<(String, String)> =
        stops.into_iter().map(|stop| (stop.rule.to_owned(), stop.text)).collect();
    for fixing in panel.fixings.iter().filter(|fixing| fixing.of.state.has_failed()) {
        let opens = panel.of.panel.roles.contains(&Role::Opens);
        let of_load = stops::of_load(fixing.of.carries, opens, &panel.of.name);
        stops.extend(of_load.into_iter().map(|stop| (stop.rule.to_owned(), stop.text)));
    }
    Said { referred, stops }
}

/// Of every mark by itself, before a repair is laid out: laying out may only add to this.
pub(crate) fn at_first_sight(panel: &Panel, marks: &[Mark]) -> Vec<Said> {
    let job = read(&survey(panel, marks), panel.skin);
    let panels = vec![laid(&job, &job.panels[0], mesh(panel.skin))];
    let placed = plymend::place(&job, &panels).unwrap_or_else(|faults| panic!("{faults:#?}"));
    // No panel here lists the mats of its moulding, so nobody asks for the thickness of one.
    let findings = plymend::damage::assess(&job, &panels, placed, &|_| f64::NAN)
        .unwrap_or_else(|faults| panic!("{faults:#?}"));
    findings.iter().map(|finding| said(finding, &panels[0])).collect()
}

/// Of every mark, repairs laid out.
pub(crate) fn in_full(drawn: &Drawn) -> Vec<Said> {
    let job = read(&survey(&drawn.panel, &drawn.marks), drawn.panel.skin);
    let panels = vec![laid(&job, &job.panels[0], mesh(drawn.panel.skin))];
    let answer = plymend::work(&job, &panels).unwrap_or_else(|faults| panic!("{faults:#?}"));
    answer.findings.iter().map(|finding| said(finding, &panels[0])).collect()
}

/// Of every mark, as the report says it; the report leaves referred marks out of its totals.
pub(crate) fn in_report(drawn: &Drawn) -> Vec<Said> {
    let text = survey(&drawn.panel, &drawn.marks);
    let job = read(&text, drawn.panel.skin);
    let report = plymend::estimate(&job).unwrap_or_else(|faults| panic!("{faults:#?}"));
    (1..)
        .zip(&drawn.marks)
        .map(|(id, _)| {
            let finding = report.findings.iter().find(|one| one.mark == id).expect("a finding");
            let referred = report.referrals.iter().any(|one| one.mark == Some(id));
            assert_eq!(referred, finding.action == "refer", "mark {id} of\n{text}");
            let materials = &report.materials;
            for total in [&materials.low, &materials.likely, &materials.high] {
                let out = total.excludes.iter().any(|one| one.mark == Some(id));
                assert!(out || !referred, "mark {id} is in the total of\n{text}");
            }
            let of_mark = |stop: &&plymend::report::model::Stop| {
                stop.marks.is_empty() || stop.marks.contains(&id)
            };
            let stops = report.stops.iter().filter(of_mark);
            Said {
                referred,
                stops: stops.map(|stop| (stop.rule.clone(), stop.text.clone())).collect(),
            }
        })
        .collect()
}
