//! Stops and referrals of two surveys side by side: what is new, changed, as before, or raised no
//! longer. A referral is the same where its mark and its rule are; figures in its words may move
//! with the tape.

use super::model::Report;
use super::record_compare::{ComparedReferral, ComparedStop, NoLonger};
use crate::damage::change::{Change, Changes, Looked, Verdict};

pub(super) struct Raised {
    pub(super) stops: Vec<ComparedStop>,
    pub(super) referrals: Vec<ComparedReferral>,
    pub(super) no_longer: Vec<NoLonger>,
}

/// Numbers of the marks that are one, by the numbers of the surveys.
struct Ids {
    earlier: Vec<u32>,
    later: Vec<u32>,
    verdict: Verdict,
}

pub(super) fn of(
    earlier: &Looked<'_>,
    later: &Looked<'_>,
    (then, now): (&Report, &Report),
    changes: &Changes,
) -> Raised {
    let ids = |survey: &Looked<'_>, numbers: &[usize]| -> Vec<u32> {
        numbers.iter().filter_map(|one| Some(survey.findings.get(*one)?.mark().id)).collect()
    };
    let pairs: Vec<Ids> = changes
        .marks
        .iter()
        .map(|one: &Change| Ids {
            earlier: ids(earlier, &one.earlier),
            later: ids(later, &one.later),
            verdict: one.verdict,
        })
        .collect();
    let mut referrals: Vec<ComparedReferral> = now
        .referrals
        .iter()
        .map(|one| {
            let before: Vec<&super::model::Referral> = then
                .referrals
                .iter()
                .filter(|was| was.rule == one.rule && same(&pairs, was, one))
                .collect();
            let words = |text: &str| text.replace(|letter: char| letter.is_ascii_digit(), "");
            let as_before = before
                .iter()
                .any(|was| words(&was.reason) == words(&one.reason) && was.who == one.who);
            let standing = match (before.is_empty(), as_before) {
                (true, _) => "new",
                (_, true) => "as_before",
                _ => "changed",
            };
            ComparedReferral {
                mark: one.mark,
                panel: one.panel.clone(),
                reason: one.reason.clone(),
                rule: one.rule.clone(),
                who: one.who.clone(),
                standing,
                before: (standing == "changed")
                    .then(|| before.first().map(|was| was.reason.clone()))
                    .flatten(),
            }
        })
        .collect();
    let rank = |standing: &str| match standing {
        "new" => 0,
        "changed" => 1,
        _ => 2,
    };
    referrals.sort_by_key(|one| rank(one.standing));
    let mut stops: Vec<ComparedStop> = now
        .stops
        .iter()
        .map(|one| ComparedStop {
            text: one.text.clone(),
            place: one.place.clone(),
            marks: one.marks.clone(),
            rule: one.rule.clone(),
            new: !then.stops.iter().any(|was| was.text == one.text && was.place == one.place),
        })
        .collect();
    stops.sort_by_key(|one| !one.new);
    let mut no_longer: Vec<NoLonger> = then
        .stops
        .iter()
        .filter(|was| !now.stops.iter().any(|one| one.text == was.text && one.place == was.place))
        .map(|was| NoLonger {
            mark: was.marks.first().copied(),
            panel: was.place.clone(),
            text: was.text.clone(),
            rule: was.rule.clone(),
            because: because(&pairs, was.marks.first().copied()),
        })
        .collect();
    no_longer.extend(
        then.referrals
            .iter()
            .filter(|was| {
                !now.referrals.iter().any(|one| one.rule == was.rule && same(&pairs, was, one))
            })
            .map(|was| NoLonger {
                mark: was.mark,
                panel: was.panel.clone(),
                text: was.reason.clone(),
                rule: was.rule.clone(),
                because: because(&pairs, was.mark),
            }),
    );
    Raised { stops, referrals, no_longer }
}

/// Whether two referrals are of one mark, or of one fixing.
fn same(pairs: &[Ids], was: &super::model::Referral, is: &super::model::Referral) -> bool {
    match (was.mark, is.mark) {
        (Some(was), Some(is)) => {
            pairs.iter().any(|one| one.earlier.contains(&was) && one.later.contains(&is))
        }
        (None, None) => {
            // The name of the fixing stands in quotes at the start.
            let name = |reason: &str| reason.split('"').nth(1).map(str::to_owned);
            was.panel == is.panel && name(&was.reason) == name(&is.reason)
        }
        _ => false,
    }
}

fn because(pairs: &[Ids], mark: Option<u32>) -> String {
    let verdict = mark.and_then(|mark| {
        pairs.iter().find(|one| one.earlier.contains(&mark)).map(|one| one.verdict)
    });
    match verdict {
        Some(Verdict::Repaired) => "the later survey has the mark as repaired: ask for a paper on how, and who answers for it",
        Some(Verdict::Gone) => "the mark was not found: what became of it nobody has said",
        Some(Verdict::NotExamined) => "the mark was not examined: it stands as it did",
        Some(_) => "the later survey tells the mark otherwise: nobody has cleared it, look at what was told before",
        None => "the later survey tells the fixing otherwise: ask what was done",
    }
    .to_owned()
}
