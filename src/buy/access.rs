//! Getting at the damage: what comes off each panel that is worked on, and fixings that are seized.
//!
//! Takes the price file, the panels and the repairs; gives work in the words of the file, or, where the
//! file says nothing of a panel, one line by the panel's name without a price (rule `ACCESS-PANEL`).
//! Work named for a panel that nobody works on is not counted and said to be so. Hours are of a trade.

use crate::model::panel::FixingState;
use crate::model::prices::PriceFile;
use crate::repair::Plan;
use crate::surface::placed::PlacedPanel;

/// One piece of work to get at the damage.
#[derive(Debug, Clone, PartialEq)]
pub struct AccessItem {
    /// What is done.
    pub what: String,
    /// Money, in whole units; none where nobody knows.
    pub price: Option<f64>,
    /// Hours of a trade on top, at the price of an hour.
    pub hours: Option<f64>,
    /// How a price is given.
    pub way_out: String,
}

impl AccessItem {
    /// Work with a price of its own or none.
    #[must_use]
    pub fn of(what: &str, price: Option<f64>) -> Self {
        let way_out = format!("give its price under `access`, as what: {what:?}");
        Self { what: what.to_owned(), price, hours: None, way_out }
    }
}

/// What has to be got at.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Access {
    /// The work.
    pub items: Vec<AccessItem>,
    /// Work of the file on panels that nobody works on.
    pub not_counted: Vec<String>,
}

/// Panels that repairs are on or come on to, in order, as numbers.
#[must_use]
pub fn worked_panels(plan: &Plan<'_>, repairs: &[usize]) -> Vec<usize> {
    let of = repairs.iter().filter_map(|number| plan.repairs.get(*number));
    let mut found: Vec<usize> = of.flat_map(|repair| repair.panels.iter().copied()).collect();
    found.sort_unstable();
    found.dedup();
    found
}

/// Work to get at these panels, and, for a whole job, what the file names for no panel.
#[must_use]
pub fn of_panels(
    prices: &PriceFile,
    panels: &[PlacedPanel<'_>],
    worked: &[usize],
    whole_job: bool,
) -> Access {
    let names: Vec<&str> = worked
        .iter()
        .filter_map(|number| panels.get(*number))
        .map(|on| on.of.name.as_str())
        .collect();
    let mut found = Access::default();
    for one in &prices.access {
        match &one.panel {
            None if !whole_job => {}
            Some(panel) if !names.contains(&panel.as_str()) => {
                found.not_counted.push(format!("{}: nobody works on the {panel}", one.what));
            }
            _ => found
                .items
                .push(AccessItem { hours: one.hours, ..AccessItem::of(&one.what, one.price) }),
        }
    }
    for name in &names {
        if prices.access.iter().all(|one| one.panel.as_deref() != Some(name)) {
            found.items.push(AccessItem {
                what: format!("getting at the {name}: what comes off and goes back on"),
                price: None,
                hours: None,
                way_out: format!(
                    "give it under `access`, with panel: {name:?}; price: 0 where nothing comes off"
                ),
            });
        }
    }
    let seized = prices.seized.as_ref();
    for panel in worked.iter().filter_map(|number| panels.get(*number)) {
        for fixing in panel.fixings.iter().filter(|one| one.of.state == FixingState::Seized) {
            found.items.push(AccessItem {
                what: format!("seized: {} of the {}", fixing.of.name, panel.of.name),
                price: seized.and_then(|one| one.price),
                hours: seized.and_then(|one| one.hours),
                way_out:
                    "give an allowance for one under `seized`; what tears out of the laminate \
                    is a new referral and in no allowance"
                        .to_owned(),
            });
        }
    }
    found
}
