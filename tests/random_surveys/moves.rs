//! Worse news about a survey.

use plymend::damage::growth::line_mm;
use plymend::model::survey::MarkKind;
use plymend::rules::Book;

use super::drawn::{Drawn, EVIDENCE, Fixings, Form, Mark, SIZE};

/// One piece of worse news.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Move {
    /// Something more was seen at the mark.
    Seen(&'static str),
    /// Its lips move.
    Lips,
    /// A meter reads well above the dry reference.
    WetReading,
    /// The cause is known and at work.
    CauseOpen,
    /// It goes through the whole laminate.
    Full,
    /// Its back cannot be reached.
    BackClosed,
    /// It is so many times as large.
    Grow(f64),
    /// Its middle is this share of the way from the panel's only fixing.
    Nearer(f64),
    /// Nobody knows any more what is fixed to the panel.
    ListGone,
    /// Every listed fixing is found like this.
    Fails(&'static str),
}

impl Move {
    /// Every move; `times` and `share` are those of growing and of moving nearer.
    pub(crate) fn all(times: f64, share: f64) -> Vec<Self> {
        let mut all: Vec<Self> = EVIDENCE.into_iter().map(Self::Seen).collect();
        all.extend([
            Self::Lips,
            Self::WetReading,
            Self::CauseOpen,
            Self::Full,
            Self::BackClosed,
            Self::Grow(times),
            Self::Nearer(share),
            Self::ListGone,
        ]);
        all.extend(["loose", "cracked", "corroded_through", "torn_out"].map(Self::Fails));
        all
    }

    /// Its name without figures, for counting.
    pub(crate) fn name(self) -> String {
        match self {
            Self::Grow(_) => "grow".to_owned(),
            Self::Nearer(_) => "nearer".to_owned(),
            other => format!("{other:?}"),
        }
    }

    /// It is about the panel, so that every mark may change.
    pub(crate) fn is_of_panel(self) -> bool {
        matches!(self, Self::ListGone | Self::Fails(_))
    }

    /// Puts it into a survey, at one of the marks; false where it says nothing new.
    pub(crate) fn apply(self, drawn: &mut Drawn, number: usize) -> bool {
        let mark = &mut drawn.marks[number];
        let fixings = &mut drawn.panel.fixings;
        match self {
            Self::Seen(word) => {
                let new = !mark.evidence.contains(&word);
                mark.evidence.push(word);
                new
            }
            Self::Lips => {
                let new = mark.lips != "yes";
                mark.lips = "yes";
                new
            }
            Self::WetReading => {
                let new = mark.reading.is_none();
                mark.reading = Some(40.0);
                new
            }
            Self::CauseOpen => {
                let new = !mark.cause.starts_with("Open");
                mark.cause = "Open(what: \"it is still pulling\", who: trade)";
                new
            }
            Self::Full => {
                let new = mark.depth != "full";
                mark.depth = "full";
                new
            }
            Self::BackClosed => {
                let new = mark.back != Some("closed");
                mark.back = Some("closed");
                new
            }
            Self::Grow(times) => grow(mark, times),
            Self::Nearer(share) => nearer(drawn, number, share),
            Self::ListGone => {
                let new = *fixings != Fixings::Unknown;
                *fixings = Fixings::Unknown;
                new
            }
            Self::Fails(state) => match fixings {
                Fixings::Listed(list) => {
                    let new = list.iter().any(|fixing| fixing.state != state);
                    for fixing in list {
                        fixing.state = state;
                    }
                    new
                }
                Fixings::Unknown | Fixings::NoneSeen => false,
            },
        }
    }
}

/// Makes a mark larger so that it covers what it was: a trace goes on at both ends, everything
/// else grows about its middle. Left out where the panel's edge would bend what was traced.
fn grow(mark: &mut Mark, times: f64) -> bool {
    let traced = matches!(mark.form, Form::Traced | Form::Outline);
    let was_on_panel = mark.points_on_panel();
    if mark.form == Form::Traced {
        mark.ends_mm += mark.size.0 * (times - 1.0) / 2.0;
        mark.back_share = mark.back_share.map(|share| share * times);
    } else {
        mark.size = (mark.size.0 * times, mark.size.1 * times);
    }
    !traced || (was_on_panel && mark.points_on_panel())
}

/// Moves a mark straight towards the only fixing. Left out where "nearer" is not plain: a place
/// found by tapes, whose error has another form elsewhere; a trace, whose points would bend; a
/// line that an edge stops before or after, whose far end slides along.
fn nearer(drawn: &mut Drawn, number: usize, share: f64) -> bool {
    let Fixings::Listed(list) = &drawn.panel.fixings else { return false };
    let [fixing] = list.as_slice() else { return false };
    let skin = drawn.panel.skin;
    let mark = &mut drawn.marks[number];
    if mark.by_tape(skin) || matches!(mark.form, Form::Traced | Form::Outline) {
        return false;
    }
    let before = mark.at;
    let go = |from: f64, to: f64| to + (from - to) * share;
    mark.at = (go(before.0, fixing.at.0), go(before.1, fixing.at.1));
    if (mark.at.0 - before.0).hypot(mark.at.1 - before.1) < 8.0 {
        return false;
    }
    let kind = match mark.kind {
        "gel_crack" => MarkKind::GelCrack,
        "crack_at_fixing" => MarkKind::CrackAtFixing,
        "through_crack" => MarkKind::ThroughCrack,
        _ => return true,
    };
    let longest_mm = mark.size.0 * mark.back_share.unwrap_or(1.0).max(1.0);
    let half_mm = line_mm(&Book::built_in(), kind, longest_mm).high / 2.0 + 2.0;
    [before, mark.at]
        .iter()
        .all(|(u, v)| u.min(SIZE.0 - u) > half_mm && v.min(SIZE.1 - v) > half_mm)
}
