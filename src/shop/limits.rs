//! Which exposure limits exist for what is breathed in the shop, and which is the strictest?
//!
//! A table of limits (ppm) with document, edition and evidence. Limits bind only where their law
//! applies, and are for healthy adults at work for eight hours: not for homes, children,
//! pregnancy or pets. Until the user names a set, the strictest one held decides.

use crate::source::Evidence;

/// Over what time a limit is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Over {
    /// Average over an eight-hour shift.
    EightHours,
    /// Average over 15 minutes.
    FifteenMinutes,
    /// Never to be exceeded.
    Ceiling,
    /// Peak above the ceiling: five minutes in any three hours.
    FiveMinutesInThreeHours,
    /// Immediately dangerous to life or health; no working limit.
    ImmediateDanger,
}

impl Over {
    /// The words that are printed.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::EightHours => "average over 8 h",
            Self::FifteenMinutes => "average over 15 min",
            Self::Ceiling => "never above",
            Self::FiveMinutesInThreeHours => "peak, 5 min in 3 h",
            Self::ImmediateDanger => "immediately dangerous to life",
        }
    }
}

/// One exposure limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ExposureLimit {
    /// Substance.
    pub substance: &'static str,
    /// Short name of the set, by which a user picks it.
    pub set: &'static str,
    /// Averaging time.
    pub over: Over,
    /// Limit, ppm.
    pub ppm: f64,
    /// Limit as the document rounds it, mg/m³, where it gives one.
    pub mg_m3: Option<f64>,
    /// Document.
    pub document: &'static str,
    /// Edition or year.
    pub edition: &'static str,
    /// Evidence for the ppm figure.
    pub evidence: Evidence,
}

const HSE_WEL: (&str, &str, &str) =
    ("UK WEL", "EH40/2005 Workplace exposure limits, Table 1", "4th edition, 2020");
const OSHA_PEL: (&str, &str, &str) =
    ("OSHA PEL", "29 CFR 1910.1000 Tables Z-1 and Z-2", "as in the NIOSH Pocket Guide");
const NIOSH_REL: (&str, &str, &str) = ("NIOSH REL", "NIOSH Pocket Guide", "2007 and online");
const NIOSH_IDLH: (&str, &str, &str) = ("NIOSH IDLH", "NIOSH Pocket Guide", "2007 and online");
const ACGIH_TLV: (&str, &str, &str) = ("ACGIH TLV", "ACGIH Threshold Limit Values", "about 2020");

const fn row(
    substance: &'static str,
    (set, document, edition): (&'static str, &'static str, &'static str),
    over: Over,
    ppm: f64,
    mg_m3: Option<f64>,
    evidence: Evidence,
) -> ExposureLimit {
    ExposureLimit { substance, set, over, ppm, mg_m3, document, edition, evidence }
}

/// Every limit held. The mg/m³ column of the UK set is from memory throughout.
pub const EXPOSURE_LIMITS: &[ExposureLimit] = {
    use Evidence::{CommonPractice, FromMemory, Published};
    use Over::{Ceiling, EightHours, FifteenMinutes, FiveMinutesInThreeHours, ImmediateDanger};
    &[
        row("styrene", HSE_WEL, EightHours, 100.0, Some(430.0), Published),
        row("styrene", HSE_WEL, FifteenMinutes, 250.0, Some(1080.0), Published),
        row("styrene", OSHA_PEL, EightHours, 100.0, None, Published),
        row("styrene", OSHA_PEL, Ceiling, 200.0, None, Published),
        row("styrene", OSHA_PEL, FiveMinutesInThreeHours, 600.0, None, Published),
        row("styrene", NIOSH_REL, EightHours, 50.0, Some(215.0), Published),
        row("styrene", NIOSH_REL, FifteenMinutes, 100.0, Some(425.0), Published),
        row("styrene", ACGIH_TLV, EightHours, 10.0, None, FromMemory),
        row("styrene", ACGIH_TLV, FifteenMinutes, 20.0, None, FromMemory),
        row("styrene", NIOSH_IDLH, ImmediateDanger, 700.0, None, Published),
        row("acetone", HSE_WEL, EightHours, 500.0, Some(1210.0), FromMemory),
        row("acetone", HSE_WEL, FifteenMinutes, 1500.0, Some(3620.0), FromMemory),
        row("acetone", OSHA_PEL, EightHours, 1000.0, Some(2400.0), Published),
        row("acetone", NIOSH_REL, EightHours, 250.0, Some(590.0), Published),
        row("acetone", ACGIH_TLV, EightHours, 250.0, None, CommonPractice),
        row("acetone", ACGIH_TLV, FifteenMinutes, 500.0, None, CommonPractice),
        row("acetone", NIOSH_IDLH, ImmediateDanger, 2500.0, None, Published),
        row("MEKP", HSE_WEL, FifteenMinutes, 0.2, Some(1.5), FromMemory),
        row("MEKP", NIOSH_REL, Ceiling, 0.2, Some(1.5), FromMemory),
        row("MEKP", ACGIH_TLV, Ceiling, 0.2, None, FromMemory),
    ]
};

/// The strictest limit of a substance for an averaging time, over all sets or one named set.
#[must_use]
pub fn strictest<'a>(
    limits: &'a [ExposureLimit],
    substance: &str,
    over: Over,
    set: Option<&str>,
) -> Option<&'a ExposureLimit> {
    limits
        .iter()
        .filter(|limit| limit.substance == substance && limit.over == over)
        .filter(|limit| set.is_none_or(|name| limit.set == name))
        .min_by(|a, b| a.ppm.total_cmp(&b.ppm))
}

/// The strictest limit that decides for work: eight hours, 15 minutes and ceiling together.
/// The immediately dangerous level and short peaks above a ceiling are no working limits.
#[must_use]
pub fn strictest_for_work<'a>(
    limits: &'a [ExposureLimit],
    substance: &str,
    set: Option<&str>,
) -> Option<&'a ExposureLimit> {
    [Over::EightHours, Over::FifteenMinutes, Over::Ceiling]
        .into_iter()
        .filter_map(|over| strictest(limits, substance, over, set))
        .min_by(|a, b| a.ppm.total_cmp(&b.ppm))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_strictest_styrene_limit_is_found_by_time_and_set() {
        let find = |over, set| strictest(EXPOSURE_LIMITS, "styrene", over, set).unwrap();
        assert_eq!(find(Over::EightHours, None).set, "ACGIH TLV");
        assert_eq!(find(Over::FifteenMinutes, None).set, "ACGIH TLV");
        assert_eq!(find(Over::Ceiling, None).set, "OSHA PEL");
        assert_eq!(find(Over::EightHours, Some("UK WEL")).document, HSE_WEL.1);
        assert!(strictest(EXPOSURE_LIMITS, "styrene", Over::Ceiling, Some("UK WEL")).is_none());
        assert!(strictest(EXPOSURE_LIMITS, "no such thing", Over::EightHours, None).is_none());
    }

    #[test]
    fn danger_levels_never_decide_for_work() {
        for substance in ["styrene", "acetone", "MEKP"] {
            let limit = strictest_for_work(EXPOSURE_LIMITS, substance, None).unwrap();
            let lowest = EXPOSURE_LIMITS
                .iter()
                .filter(|l| l.substance == substance)
                .map(|l| l.ppm)
                .fold(f64::INFINITY, f64::min);
            assert!(limit.ppm <= lowest, "{substance}");
        }
        let only =
            [row("styrene", NIOSH_IDLH, Over::ImmediateDanger, 700.0, None, Evidence::Published)];
        assert!(strictest_for_work(&only, "styrene", None).is_none());
    }

    #[test]
    fn every_row_names_its_document_and_edition() {
        for limit in EXPOSURE_LIMITS {
            assert!(!limit.document.is_empty() && !limit.edition.is_empty() && limit.ppm > 0.0);
        }
    }
}
