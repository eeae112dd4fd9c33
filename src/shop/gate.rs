//! The verdict on one step: may it go ahead, with what reason, and what would open it?

use crate::wording::HEATER_CAUTION;

/// Whether a step may go ahead.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Gate {
    /// Nothing against it.
    Open,
    /// It may go ahead, with a reason for care.
    Warned {
        /// Why care is needed.
        why: String,
    },
    /// It may not go ahead.
    Shut {
        /// What is wrong.
        why: String,
        /// What would open the gate.
        way_out: String,
    },
}

impl Gate {
    /// Both gates in one: the stricter holds, and no reason is lost at the same strictness.
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        match (self, other) {
            (Self::Open, gate) | (gate, Self::Open) => gate,
            (Self::Warned { why: a }, Self::Warned { why: b }) => {
                Self::Warned { why: format!("{a}; {b}") }
            }
            (shut @ Self::Shut { .. }, Self::Warned { .. })
            | (Self::Warned { .. }, shut @ Self::Shut { .. }) => shut,
            (Self::Shut { why: a, way_out: x }, Self::Shut { why: b, way_out: y }) => {
                // The heater caution is said once, at the end of the joined advice.
                let x = if y.contains(HEATER_CAUTION) { x.replace(HEATER_CAUTION, "") } else { x };
                let way_out = if x.trim() == y { y } else { format!("{} {y}", x.trim()) };
                Self::Shut { why: format!("{a}; {b}"), way_out }
            }
        }
    }

    /// How strict it is: 0 open, 1 warned, 2 shut.
    #[must_use]
    pub const fn weight(&self) -> u8 {
        match self {
            Self::Open => 0,
            Self::Warned { .. } => 1,
            Self::Shut { .. } => 2,
        }
    }

    /// Whether the step is blocked.
    #[must_use]
    pub fn is_shut(&self) -> bool {
        matches!(self, Self::Shut { .. })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn warned(why: &str) -> Gate {
        Gate::Warned { why: why.to_owned() }
    }

    fn shut(why: &str) -> Gate {
        Gate::Shut { why: why.to_owned(), way_out: "Wait.".to_owned() }
    }

    #[test]
    fn the_stricter_gate_holds_in_either_order() {
        for (a, b) in [(Gate::Open, warned("a")), (warned("a"), shut("b")), (Gate::Open, shut("b"))]
        {
            assert_eq!(a.clone().and(b.clone()), b);
            assert_eq!(b.clone().and(a), b);
        }
        assert_eq!(Gate::Open.and(Gate::Open), Gate::Open);
    }

    #[test]
    fn reasons_of_equal_strictness_are_both_kept() {
        assert_eq!(warned("a").and(warned("b")), warned("a; b"));
        assert_eq!(shut("a").and(shut("b")), shut("a; b"));
    }
}
