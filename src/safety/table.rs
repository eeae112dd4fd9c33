//! The cautions: code, what raises each, how it is known. The wording with the computed figures
//! is made in [`super::raise()`].

use crate::source::Evidence;

/// One caution of the table.
#[derive(Debug, Clone, Copy)]
pub struct CautionRow {
    /// Its code.
    pub code: &'static str,
    /// What it is about.
    pub title: &'static str,
    /// What raises it.
    pub raised_when: &'static str,
    /// Why.
    pub reason: &'static str,
    /// How it is known.
    pub evidence: Evidence,
    /// Where from.
    pub source: &'static str,
}

const fn row(
    code: &'static str,
    title: &'static str,
    raised_when: &'static str,
    reason: &'static str,
    evidence: Evidence,
    source: &'static str,
) -> CautionRow {
    CautionRow { code, title, raised_when, reason, evidence, source }
}

use Evidence::{Choice, CommonPractice, Computed, FromMemory, Published};

/// Every caution.
pub const CAUTIONS: &[CautionRow] = &[
    row(
        "STY-STOP",
        "styrene: too much for this room",
        "the well-mixed peak of the worst sitting passes 350 ppm or 10 % of the lower flammable limit",
        "700 ppm is immediately dangerous; half of it is taken as the stop",
        Published,
        "NIOSH Pocket Guide; the half is a choice",
    ),
    row(
        "STY-VENT",
        "styrene: fresh air",
        "any resin or gel coat that may hold styrene is poured",
        "the vapour is breathed where it is laid",
        Computed,
        "40 CFR 63 Subparts VVVV and WWWW; room balance",
    ),
    row(
        "STY-RPE",
        "styrene and dust: mask",
        "any resin or gel coat that may hold styrene is poured",
        "a mask that fits is the last line, not the first",
        CommonPractice,
        "half mask with combined organic and particle filters; protection factors NIOSH Pocket Guide",
    ),
    row(
        "STY-FIRE",
        "vapour that can burn",
        "resin, gel coat or solvent is used",
        "styrene burns from 0.9 % in air and is heavier than air",
        Published,
        "NIOSH Pocket Guide",
    ),
    row(
        "HOME",
        "joined to a dwelling",
        "the shop is joined to a dwelling, or nobody has said that it is not",
        "the limits are for healthy adults at work, not for homes, children, pregnancy or pets",
        Choice,
        "default of this project",
    ),
    row(
        "HEATER",
        "heaters and vapour",
        "a heater is listed, or this answer advises to warm the shop",
        "flames and glowing elements light vapour; unflued heaters give off water and carbon monoxide",
        Choice,
        "default of this project; 3 kW of unflued gas gives about 0.38 kg of water an hour (computed)",
    ),
    row(
        "CAT-EYE",
        "peroxide and eyes",
        "peroxide catalyst is used or may be",
        "it blinds within seconds",
        Published,
        "International Chemical Safety Card 1028",
    ),
    row(
        "CAT-SOLV",
        "peroxide and what it must not meet",
        "peroxide catalyst is used or may be",
        "it can explode or catch fire with acetone, accelerator, metal, rag or paper",
        FromMemory,
        "producers' guidance",
    ),
    row(
        "CAT-DOSE",
        "dose of catalyst",
        "a dose is outside what is advised",
        "too little never cures, too much is weak and hot",
        CommonPractice,
        "supplier guides",
    ),
    row(
        "EXO",
        "pots that heat up",
        "resin is mixed",
        "a pot left standing can pass 150 °C, smoke and burn",
        CommonPractice,
        "workshop experience",
    ),
    row(
        "DUST",
        "dust of glass and resin",
        "anything is ground",
        "it inflames eyes, skin and lungs; the mass is computed",
        Published,
        "HSE guidance on plastics: 10 mg/m3 inhalable dust",
    ),
    row(
        "LEAD-CR",
        "old paint",
        "old paint may be disturbed and was not tested clear",
        "it may hold lead and chromate",
        Choice,
        "default of this project",
    ),
    row(
        "ASB",
        "old filler",
        "an old repair may be disturbed and its filler was not tested clear",
        "filler laid before 2000 may hold asbestos",
        Choice,
        "default of this project",
    ),
    row(
        "ISO",
        "paint with isocyanate hardener",
        "the topcoat is two-pack, or nobody has named it",
        "filter masks are no protection when it is sprayed; it sensitises for life",
        Published,
        "HSE guidance on motor vehicle repair",
    ),
    row(
        "BATTERY",
        "traction battery",
        "it is present or nobody has said that it is not",
        "it shocks and burns",
        Choice,
        "default of this project",
    ),
    row(
        "FUEL",
        "fuel or gas",
        "it is present or nobody has said that it is not",
        "grinding sparks and heat light it",
        Choice,
        "default of this project",
    ),
    row(
        "PYRO",
        "pyrotechnic devices",
        "they are present or nobody has said that they are not",
        "heat, blows and static set them off",
        Choice,
        "default of this project",
    ),
    row(
        "UNDER",
        "under the vehicle",
        "a mark is at a jacking or lifting point, or on a sill, arch or valance",
        "a vehicle falls off a jack",
        Choice,
        "default of this project",
    ),
    row(
        "PART",
        "a panel that may part",
        "a through crack may reach two edges",
        "the loose part falls or flies off",
        Choice,
        "default of this project",
    ),
    row(
        "MOIST",
        "wet laminate",
        "a mark counts as wet",
        "paint or resin over wet laminate blisters again",
        CommonPractice,
        "surveyors' practice",
    ),
    row(
        "DAMP",
        "cold or damp air",
        "a climate gate is warned or shut",
        "resin stays soft and paint blushes",
        CommonPractice,
        "coating guidance",
    ),
    row(
        "SUN-TG",
        "fresh laminate in the sun",
        "glass is laid and not post-cured",
        "it softens at a temperature a dark panel passes in the sun",
        Computed,
        "calibrated model; a dark panel in sun passes 60 °C (common practice)",
    ),
    row(
        "SENS",
        "epoxy",
        "epoxy resin is used",
        "it sensitises for life",
        CommonPractice,
        "supplier guides",
    ),
    row(
        "SKIN",
        "hands and clothes",
        "resin is mixed",
        "resin and solvent go through the skin",
        CommonPractice,
        "supplier guides",
    ),
    row(
        "WASTE",
        "what is left over",
        "resin is mixed",
        "liquid resin, peroxide and dust must not go down a drain or into a bin while hot",
        Choice,
        "default of this project",
    ),
    row(
        "ALONE",
        "somebody within call",
        "peroxide is used, paint is sprayed or work goes on under the vehicle",
        "each can put one person out of action",
        Choice,
        "default of this project",
    ),
    row(
        "PREG",
        "people at greater risk",
        "styrene, isocyanate or lead may be present",
        "the limits do not protect them",
        FromMemory,
        "UK Management of Health and Safety at Work Regulations 1999, regulation 16",
    ),
    row(
        "LIMITS",
        "what these figures are",
        "any figure of air is given",
        "room averages from published factors, not a measurement",
        Choice,
        "default of this project",
    ),
];

/// A caution by its code.
#[must_use]
pub fn find(code: &str) -> Option<&'static CautionRow> {
    CAUTIONS.iter().find(|caution| caution.code == code)
}
