//! What a resin does in one short step: the induction used up, the conversion grown.

use crate::shop::cure::Resin;

/// State of the resin at one place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct State {
    /// Share of the induction still to go, 1 at the pour and 0 from the gel on.
    pub inhibitor_left: f64,
    /// Conversion, 0 to 1.
    pub conversion: f64,
}

/// A resin as the heat through the thickness sees it.
pub trait Reaction {
    /// As poured.
    fn at_pour(&self) -> State;
    /// Share of the induction used up per minute.
    fn induction_per_min(&self, t_c: f64) -> f64;
    /// Growth of conversion per minute once the induction is over.
    fn growth_per_min(&self, conversion: f64, t_c: f64) -> f64;
    /// Conversion at which it is no longer liquid.
    fn gel_conversion(&self) -> f64;

    /// Whether it is no longer liquid.
    fn gelled(&self, state: &State) -> bool {
        state.inhibitor_left <= 0.0 && state.conversion >= self.gel_conversion()
    }

    /// Carries a state over `step_min` while the temperature runs straight from one value to the
    /// other (midpoint rule, second order). Gives the new state and when in the step the
    /// resin gelled, where it did.
    fn advance(
        &self,
        from: State,
        temperatures_c: (f64, f64),
        step_min: f64,
    ) -> (State, Option<f64>) {
        let (start_c, end_c) = temperatures_c;
        let at_c = |minute: f64| start_c + (end_c - start_c) * (minute / step_min);
        let (mut state, mut gone_min) = (from, 0.0);
        if from.inhibitor_left > 0.0 {
            let rate = self.induction_per_min(at_c(step_min / 2.0));
            let used = (rate * step_min).min(from.inhibitor_left);
            state.conversion += self.gel_conversion() * used;
            if rate * step_min < from.inhibitor_left {
                state.inhibitor_left -= used;
                return (state, None);
            }
            state.inhibitor_left = 0.0;
            gone_min = from.inhibitor_left / rate;
        }
        let left_min = step_min - gone_min;
        let first = self.growth_per_min(state.conversion, at_c(gone_min));
        let middle = (state.conversion + first * left_min / 2.0).min(1.0);
        let growth = self.growth_per_min(middle, at_c(gone_min + left_min / 2.0)) * left_min;
        let grown = (state.conversion + growth).min(1.0);
        let gel = if self.gelled(&from) {
            None
        } else if from.inhibitor_left > 0.0 {
            Some(gone_min)
        } else {
            let missing = self.gel_conversion() - state.conversion;
            (missing <= growth).then(|| gone_min + left_min * missing / growth)
        };
        (State { conversion: grown, ..state }, gel)
    }
}

impl Reaction for Resin {
    fn at_pour(&self) -> State {
        State { inhibitor_left: 1.0, conversion: 0.0 }
    }

    fn induction_per_min(&self, t_c: f64) -> f64 {
        self.gel_rate_per_min(t_c)
    }

    fn growth_per_min(&self, conversion: f64, t_c: f64) -> f64 {
        self.cure_rate_per_min(conversion, t_c)
    }

    fn gel_conversion(&self) -> f64 {
        self.kinetics.gel_conversion
    }
}
