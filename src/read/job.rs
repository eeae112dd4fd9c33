//! One job: everything a survey names, read and checked.

use serde::Deserialize;

pub(super) use super::alone::one;
pub use super::alone::{body, labour_file, panel, prices_file, rules, shop, stock_file};
use super::fingerprint::FileRead;
pub use super::folder::{Folder, Named, TextFolder};
pub use super::job_panel::JobPanel;
use super::panels::Resolved;
use super::photos::PhotoRead;
use super::text::{Loaded, Texts};
use super::{
    built_in, check_body, check_labour, check_prices, check_rules, check_shop, check_stock,
    check_survey, climate, drying, opened, panels, photos, ron_file,
};
use crate::diagnostic::Diagnostic;
use crate::model::body::{Body, VehicleEnergy};
use crate::model::climate::ClimateLog;
use crate::model::consumables::ConsumableTable;
use crate::model::drying::DryingLog;
use crate::model::labour::LabourTable;
use crate::model::packs::PackTable;
use crate::model::prices::PriceFile;
use crate::model::shop::{Habits, Shop};
use crate::model::stock::Stock;
use crate::model::survey::Survey;
use crate::rules::{BUILT_IN, BUILT_IN_NAME, Book, Changes};

/// Everything a survey names, read and checked.
#[derive(Debug, Clone)]
pub struct Job {
    /// The survey's file.
    pub survey_file: String,
    /// The survey.
    pub survey: Survey,
    /// The body it names.
    pub body: Option<Body>,
    /// Its file; empty without one.
    pub body_file: String,
    /// The panels: those of the body first, then the survey's own.
    pub panels: Vec<JobPanel>,
    /// The shop and its file; none when nobody names one.
    pub shop: Option<(String, Shop)>,
    /// Readings of its air and their file; none when it names none.
    pub climate: Option<(String, ClimateLog)>,
    /// The stock: the user's own, else the generic one.
    pub stock: Stock,
    /// Its file, or the name of the generic one.
    pub stock_file: String,
    /// Hours of work: the shop's own table, else the default one.
    pub labour: LabourTable,
    /// Its file, or the name of the default one.
    pub labour_file: String,
    /// The rule book with the user's changes.
    pub book: Book,
    /// What grinding found; none when nobody names a file of it.
    pub opened: Option<opened::OpenedUp>,
    /// The drying log and its file; none when nobody names one.
    pub drying: Option<(String, DryingLog)>,
    /// The user's own prices and their file; none when nobody names one.
    pub prices: Option<(String, PriceFile)>,
    /// Photos, those of the whole survey first.
    pub photos: Vec<PhotoRead>,
    /// Usual packs.
    pub packs: PackTable,
    /// What is used up beside.
    pub consumables: ConsumableTable,
    /// The files that were read, in order.
    pub files_read: Vec<String>,
    /// The same and what is built in, each with the fingerprint of its bytes.
    pub files: Vec<FileRead>,
    /// The texts, for faults that later rooms find.
    pub texts: Texts,
}

impl Job {
    /// A fault that a later room found in one of the job's files.
    #[must_use]
    pub fn fault(
        &self,
        file: &str,
        field: &str,
        code: &'static str,
        problem: impl Into<String>,
        accepted: impl Into<String>,
        way_out: impl Into<String>,
    ) -> Diagnostic {
        self.texts.fault(file, field, code, problem, accepted, way_out)
    }

    /// What is stored in the vehicle, as the body file or the survey says.
    #[must_use]
    pub fn energy(&self) -> VehicleEnergy {
        self.survey
            .energy
            .or_else(|| self.body.as_ref().map(|body| body.energy))
            .unwrap_or_default()
    }

    /// What the shop does where practice disagrees.
    #[must_use]
    pub fn habits(&self) -> Habits {
        self.shop.as_ref().map(|(_, shop)| shop.habits).unwrap_or_default()
    }

    /// The panel of a name; the marks of a checked job name no other.
    #[must_use]
    pub fn panel(&self, name: &str) -> Option<&JobPanel> {
        self.panels.iter().find(|panel| panel.name == name)
    }
}

/// A job being read.
pub(super) struct Reading<'f> {
    pub(super) folder: &'f dyn Folder,
    pub(super) texts: Texts,
    pub(super) files_read: Vec<String>,
    pub(super) files: Vec<FileRead>,
    pub(super) faults: Vec<Diagnostic>,
}

impl<'f> Reading<'f> {
    pub(super) fn new(folder: &'f dyn Folder) -> Self {
        let (files_read, files, faults) = (Vec::new(), Vec::new(), Vec::new());
        Self { folder, texts: Texts::default(), files_read, files, faults }
    }

    /// Notes that a file was read.
    pub(super) fn note(&mut self, file: &str, bytes: &[u8]) {
        if !self.files_read.iter().any(|read| read == file) {
            self.files_read.push(file.to_owned());
            self.files.push(FileRead::of(file, bytes));
        }
    }

    /// Notes that something built in was used.
    pub(super) fn note_built_in(&mut self, name: &str, text: &str) {
        if !self.files.iter().any(|read| read.name == name) {
            self.files.push(FileRead::of(name, text.as_bytes()));
        }
    }

    /// Reads a file that another one names; a fault in naming it is told where it is named.
    pub(super) fn named<T>(&mut self, from: &Loaded, field: &str, name: &str) -> Option<(T, Loaded)>
    where
        T: for<'text> Deserialize<'text>,
    {
        if name.trim().is_empty() {
            self.faults.push(from.fault(
                field,
                "READ-NAME-EMPTY",
                "the name of the file is empty",
                "a file in the folder of the job",
                "write the file's name, or leave the field out",
            ));
            return None;
        }
        let file = path_from(&from.file, name);
        match self.folder.text(&file) {
            Ok(text) => self.parsed(&file, &text),
            Err(fault) => {
                let problem = format!("{file}: {}", fault.problem);
                let named = from.fault(field, fault.code, problem, fault.accepted, fault.way_out);
                self.faults.push(named);
                None
            }
        }
    }

    /// Reads a file that the user named.
    pub(super) fn typed<T>(&mut self, file: &str) -> Option<(T, Loaded)>
    where
        T: for<'text> Deserialize<'text>,
    {
        match self.folder.typed(file) {
            Ok(text) => self.parsed(file, &text),
            Err(fault) => {
                self.faults.push(fault);
                None
            }
        }
    }

    fn parsed<T>(&mut self, file: &str, text: &str) -> Option<(T, Loaded)>
    where
        T: for<'text> Deserialize<'text>,
    {
        self.note(file, text.as_bytes());
        match ron_file::parse(file, text) {
            Ok((record, loaded)) => {
                self.texts.keep(loaded.clone());
                Some((record, loaded))
            }
            Err(fault) => {
                self.faults.push(fault);
                None
            }
        }
    }

    /// The file the user typed, else the one the survey names.
    pub(super) fn either<T>(
        &mut self,
        typed: Option<&String>,
        survey: &Loaded,
        field: &str,
        named: Option<&String>,
    ) -> Option<(T, Loaded)>
    where
        T: for<'text> Deserialize<'text>,
    {
        match (typed, named) {
            (Some(file), _) => self.typed(file),
            (None, Some(name)) => self.named(survey, field, name),
            (None, None) => None,
        }
    }

    /// All faults, each once, by file and place.
    pub(super) fn into_faults(mut self) -> Vec<Diagnostic> {
        self.faults.sort();
        self.faults.dedup();
        self.faults
    }
}

/// A name that stands in a file, seen from where that file is.
pub(super) fn path_from(file: &str, name: &str) -> String {
    match file.rsplit_once('/') {
        Some((folder, _)) if !name.starts_with('/') => format!("{folder}/{name}"),
        _ => name.to_owned(),
    }
}

/// Reads a survey and everything it names.
///
/// # Errors
/// Every fault of every file, by file and place.
pub fn job(
    folder: &dyn Folder,
    survey_file: &str,
    options: &Named,
) -> Result<Job, Vec<Diagnostic>> {
    let mut reading = Reading::new(folder);
    let Some((survey, loaded)) = reading.typed::<Survey>(survey_file) else {
        return Err(reading.into_faults());
    };
    let body = survey.body.as_ref().and_then(|name| reading.named::<Body>(&loaded, "body", name));
    if let Some((body, loaded)) = &body {
        reading.faults.extend(check_body::body(body, loaded));
    }
    let body_read = survey.body.is_some() == body.is_some();
    let of_body = body.as_ref().map(|(body, loaded)| (body, loaded));
    let Resolved { panels, all_read } = panels::resolve(&mut reading, &survey, &loaded, of_body);
    let found = check_survey::survey(&survey, &loaded, &panels, all_read && body_read);
    reading.faults.extend(found);
    let photos = photos::read(&mut reading, &survey, &loaded);
    if let Some((body, loaded)) = body.as_ref().filter(|_| all_read) {
        let names: Vec<&str> = panels.iter().map(|panel| panel.name.as_str()).collect();
        reading.faults.extend(check_body::live_parts(body, loaded, &names));
        reading.faults.extend(check_body::seams(body, loaded, &panels));
    }

    let shop = reading.either::<Shop>(options.shop.as_ref(), &loaded, "shop", survey.shop.as_ref());
    if let Some((shop, loaded)) = &shop {
        reading.faults.extend(check_shop::shop(shop, loaded));
    }
    let climate = shop.as_ref().and_then(|(shop, of)| climate::of_shop(&mut reading, shop, of));
    let labour = labour(&mut reading, shop.as_ref());
    let (mut stock, stock_file) = stock(&mut reading, &survey, &loaded, options);
    if let (Some(name), Some(stock)) = (&survey.resin, &mut stock) {
        reading.faults.extend(check_survey::resin(name, stock, &loaded));
        // The first of its family is the one that is used.
        stock.resins.sort_by_key(|resin| resin.name != *name);
    }
    let mut book = Book::built_in();
    reading.note_built_in(BUILT_IN_NAME, BUILT_IN);
    let changes =
        reading.either::<Changes>(options.rules.as_ref(), &loaded, "rules", survey.rules.as_ref());
    if let Some((changes, loaded)) = &changes {
        let found = check_rules::apply(changes, &mut book, loaded);
        reading.faults.extend(found);
    }
    if let Some((shop, loaded)) = &shop {
        reading.faults.extend(check_rules::taper(shop, &mut book, loaded));
    }
    let opened = opened::read(&mut reading, options, (&survey, &loaded), &panels);
    let drying = drying::read(&mut reading, options, (&survey, &loaded));
    let named = survey.prices.as_ref();
    let prices = reading.either::<PriceFile>(options.prices.as_ref(), &loaded, "prices", named);
    if let Some((prices, loaded)) = &prices {
        reading.faults.extend(check_prices::prices(prices, loaded));
    }
    let (packs, consumables) = (built_in::packs(), built_in::consumables());
    reading.note_built_in(built_in::PACKS_NAME, built_in::PACKS);
    reading.note_built_in(built_in::CONSUMABLES_NAME, built_in::CONSUMABLES);
    match (stock, labour) {
        (Some(stock), Some((labour, labour_file))) if reading.faults.is_empty() => Ok(Job {
            survey_file: survey_file.to_owned(),
            survey,
            body_file: body.as_ref().map_or_else(String::new, |(_, loaded)| loaded.file.clone()),
            body: body.map(|(body, _)| body),
            panels,
            shop: shop.map(|(shop, loaded)| (loaded.file, shop)),
            climate,
            stock,
            stock_file,
            labour,
            labour_file,
            book,
            opened,
            drying,
            prices: prices.map(|(prices, loaded)| (loaded.file, prices)),
            photos,
            packs: packs?,
            consumables: consumables?,
            files_read: reading.files_read,
            files: reading.files,
            texts: reading.texts,
        }),
        _ => Err(reading.into_faults()),
    }
}

fn stock(
    reading: &mut Reading<'_>,
    survey: &Survey,
    loaded: &Loaded,
    options: &Named,
) -> (Option<Stock>, String) {
    let given =
        reading.either::<Stock>(options.stock.as_ref(), loaded, "stock", survey.stock.as_ref());
    if let Some((stock, loaded)) = given {
        reading.faults.extend(check_stock::stock(&stock, &loaded));
        return (Some(stock), loaded.file);
    }
    if options.stock.is_some() || survey.stock.is_some() {
        return (None, String::new());
    }
    reading.note_built_in(built_in::STOCK_NAME, built_in::STOCK);
    match ron_file::parse::<Stock>(built_in::STOCK_NAME, built_in::STOCK) {
        Ok((stock, loaded)) => {
            reading.texts.keep(loaded);
            (Some(stock), built_in::STOCK_NAME.to_owned())
        }
        Err(fault) => {
            reading.faults.push(fault);
            (None, String::new())
        }
    }
}

/// The hours that the shop names, else the default ones.
pub(super) fn labour(
    reading: &mut Reading<'_>,
    shop: Option<&(Shop, Loaded)>,
) -> Option<(LabourTable, String)> {
    let named = shop.and_then(|(shop, loaded)| Some((shop.labour.as_ref()?, loaded)));
    if let Some((name, of_shop)) = named {
        let (table, loaded) = reading.named::<LabourTable>(of_shop, "labour", name)?;
        reading.faults.extend(check_labour::labour(&table, &loaded));
        return Some((table, loaded.file));
    }
    reading.note_built_in(built_in::LABOUR_NAME, built_in::LABOUR);
    match ron_file::parse::<LabourTable>(built_in::LABOUR_NAME, built_in::LABOUR) {
        Ok((table, _)) => Some((table, built_in::LABOUR_NAME.to_owned())),
        Err(fault) => {
            reading.faults.push(fault);
            None
        }
    }
}

#[cfg(test)]
mod tests;
