//! One file by itself: a panel, a body, a shop, a stock, hours, prices, changes of rules.

use serde::Deserialize;

use super::job::{Folder, JobPanel, Reading};
use super::text::{Loaded, Texts};
use super::{
    check_body, check_labour, check_prices, check_rules, check_shop, check_stock, climate, panels,
};
use crate::diagnostic::Diagnostic;
use crate::model::body::Body;
use crate::model::labour::LabourTable;
use crate::model::panel::Panel;
use crate::model::prices::PriceFile;
use crate::model::shop::Shop;
use crate::model::stock::Stock;
use crate::rules::{Book, Changes};

/// Reads a panel by itself.
///
/// # Errors
/// Every fault of the panel and of what it mirrors.
pub fn panel(folder: &dyn Folder, file: &str) -> Result<(JobPanel, Texts), Vec<Diagnostic>> {
    one::<Panel, _>(folder, file, |reading, panel, loaded| {
        panels::checked(reading, panel, loaded, &mut vec![loaded.file.clone()])
    })
}

/// Reads a body and its panels.
///
/// # Errors
/// Every fault of the body and of its panels.
pub fn body(folder: &dyn Folder, file: &str) -> Result<(Vec<JobPanel>, Texts), Vec<Diagnostic>> {
    one::<Body, _>(folder, file, |reading, body, loaded| {
        reading.faults.extend(check_body::body(&body, loaded));
        let panels = panels::of_body(reading, &body, loaded);
        if panels.all_read {
            reading.faults.extend(check_body::seams(&body, loaded, &panels.panels));
        }
        Some(panels.panels)
    })
}

/// Reads a shop.
///
/// # Errors
/// Every fault of the file.
pub fn shop(folder: &dyn Folder, file: &str) -> Result<(Shop, Texts), Vec<Diagnostic>> {
    one::<Shop, _>(folder, file, |reading, shop, loaded| {
        reading.faults.extend(check_shop::shop(&shop, loaded));
        reading.faults.extend(check_rules::taper(&shop, &mut Book::built_in(), loaded));
        climate::of_shop(reading, &shop, loaded);
        Some(shop)
    })
}

/// Reads a stock.
///
/// # Errors
/// Every fault of the file.
pub fn stock_file(folder: &dyn Folder, file: &str) -> Result<(Stock, Texts), Vec<Diagnostic>> {
    one::<Stock, _>(folder, file, |reading, stock, loaded| {
        reading.faults.extend(check_stock::stock(&stock, loaded));
        Some(stock)
    })
}

/// Reads a table of hours.
///
/// # Errors
/// Every fault of the file.
pub fn labour_file(
    folder: &dyn Folder,
    file: &str,
) -> Result<(LabourTable, Texts), Vec<Diagnostic>> {
    one::<LabourTable, _>(folder, file, |reading, table, loaded| {
        reading.faults.extend(check_labour::labour(&table, loaded));
        Some(table)
    })
}

/// Reads a price file.
///
/// # Errors
/// Every fault of the file.
pub fn prices_file(folder: &dyn Folder, file: &str) -> Result<(PriceFile, Texts), Vec<Diagnostic>> {
    one::<PriceFile, _>(folder, file, |reading, prices, loaded| {
        reading.faults.extend(check_prices::prices(&prices, loaded));
        Some(prices)
    })
}

/// Reads changes to the rule book.
///
/// # Errors
/// Every fault of the file.
pub fn rules(folder: &dyn Folder, file: &str) -> Result<(Book, Texts), Vec<Diagnostic>> {
    one::<Changes, _>(folder, file, |reading, changes, loaded| {
        let mut book = Book::built_in();
        reading.faults.extend(check_rules::apply(&changes, &mut book, loaded));
        Some(book)
    })
}

pub(super) fn one<T, R>(
    folder: &dyn Folder,
    file: &str,
    work: impl FnOnce(&mut Reading<'_>, T, &Loaded) -> Option<R>,
) -> Result<(R, Texts), Vec<Diagnostic>>
where
    T: for<'text> Deserialize<'text>,
{
    let mut reading = Reading::new(folder);
    let result = match reading.typed::<T>(file) {
        Some((record, loaded)) => work(&mut reading, record, &loaded),
        None => None,
    };
    match result {
        Some(result) if reading.faults.is_empty() => Ok((result, reading.texts)),
        _ => Err(reading.into_faults()),
    }
}
