//! Full-size patterns as paper: one PDF in tiles with check rulers, or a drawing a sheet as SVG.
//!
//! Takes the sheets of [`crate::buy::full_size`] and the cut plan; gives bytes. Every page carries
//! what stops, what is left out, two rulers of 100 mm and the joints of its neighbours. Lines differ
//! by width and dashes, not by colour. Lengths mm at 1 : 1; the picture of the cut plan says its scale.

mod canvas;
mod cover;
mod cut_picture;
pub(in crate::report) mod letters;
mod page;
mod paper;
mod pdf;
mod sheet;
pub(super) mod svg;

pub use cut_picture::{CutDrawing, drawn_alone};
pub use paper::Paper;

use crate::buy::cutting::MatPlan;
use crate::buy::full_size::{Sheet, Sheets, Shows};
use crate::model::survey::Side;
use crate::quantity::Case;
use canvas::Canvas;

/// Everything the pages say.
#[derive(Debug, Clone)]
pub struct PatternBook {
    /// The vehicle.
    pub body: String,
    /// Who, when, for whom.
    pub heading: String,
    /// What must not be done, each with its marks.
    pub stops: Vec<String>,
    /// What goes to a specialist or is left out otherwise.
    pub left_out: Vec<String>,
    /// What goes to whom, and why.
    pub referrals: Vec<String>,
    /// What nobody could see.
    pub not_seen: Vec<String>,
    /// Steps that may not be done until something is answered or changed.
    pub blocked: Vec<String>,
    /// The sheets.
    pub sheets: Sheets,
    /// What a repair waits for, one entry a repair of the plan.
    pub waits: Vec<Option<String>>,
    /// Cut plans: what they wait for, and their mats.
    pub cut: Vec<(Option<String>, Vec<MatPlan>)>,
    /// Files the answer was made from.
    pub files_read: Vec<String>,
    /// Why the exit code is not 0.
    pub needs_a_person: Option<String>,
}

impl PatternBook {
    /// The repairs that have a sheet, or are listed as having none.
    #[must_use]
    pub fn repairs(&self) -> Vec<String> {
        let drawn = self.sheets.sheets.iter().map(|sheet| &sheet.repair);
        let mut names: Vec<String> = Vec::new();
        for name in drawn.chain(self.sheets.without.iter().map(|(name, _)| name)) {
            if !names.contains(name) {
                names.push(name.clone());
            }
        }
        names
    }

    /// Leaves out the sheets of other repairs, and the cut plans, which are of all of them.
    pub fn keep(&mut self, repairs: &[String]) {
        self.sheets.sheets.retain(|sheet| repairs.contains(&sheet.repair));
        self.sheets.without.retain(|(name, _)| repairs.contains(name));
        self.sheets.not_drawn.retain(|one| repairs.contains(&one.repair));
        self.cut.clear();
        self.left_out.push(format!("every repair but {}", repairs.join(", ")));
    }
}

/// The pages of a book, and what is said about them.
#[derive(Debug, Clone)]
pub struct Printed {
    /// The file.
    pub pdf: Vec<u8>,
    /// Pages in it.
    pub pages: usize,
    /// The same list as its first page has, as text.
    pub list: String,
}

/// All pages as one PDF.
#[must_use]
pub fn printed(book: &PatternBook, paper: Paper) -> Printed {
    let drawn: Vec<(String, Vec<Canvas>)> =
        book.sheets.sheets.iter().map(|one| (title(one), sheet::pages(book, one, paper))).collect();
    let cuts = cut_picture::pages(book, paper);
    // The list names pages, and its own length moves them.
    let mut before = 1;
    let (first, lines) = loop {
        let lines = cover::lines(book, paper, &drawn, cuts.len(), before);
        let first = cover::pages(book, paper, &lines);
        if first.len() <= before {
            break (first, lines);
        }
        before = first.len();
    };
    let mut pages = first;
    pages.extend(drawn.into_iter().flat_map(|(_, pages)| pages));
    pages.extend(cuts);
    let many = pages.len();
    for (number, one) in pages.iter_mut().enumerate() {
        page::numbered(one, number + 1, many);
    }
    let name = format!("full-size patterns of {}", book.body);
    let whole = cover::stop_lines(book);
    let list = whole.iter().chain(&lines).map(|line| line.as_text()).collect::<Vec<_>>().join("\n");
    Printed { pdf: pdf::of(&pages, &name), pages: many, list: list + "\n" }
}

/// A drawing a sheet, uncut, with the name of its file.
#[must_use]
pub fn drawings(book: &PatternBook) -> Vec<(String, String)> {
    let sheets = book.sheets.sheets.iter();
    let mut found: Vec<(String, String)> = sheets
        .map(|one| {
            (format!("{}.svg", file_name(one)), svg::of(&sheet::whole(book, one), &title(one)))
        })
        .collect();
    for (number, picture) in cut_picture::pictures(book).iter().enumerate() {
        found.push((format!("cut-plan-{}.svg", number + 1), svg::of(picture, "cut plan")));
    }
    found
}

/// What a sheet is called.
fn title(of: &Sheet) -> String {
    let what = match &of.shows {
        Shows::Removal => "removal".to_owned(),
        Shows::Ply { number, .. } => format!("ply {number}"),
    };
    let part =
        if of.part.1 > 1 { format!(" part {} of {}", of.part.0, of.part.1) } else { String::new() };
    let side = match of.side {
        Side::Outer => "outer side",
        Side::Back => "back, as seen from behind",
    };
    format!("{} {what}{part}: {}, {side}", of.repair, of.panel)
}

fn file_name(of: &Sheet) -> String {
    let what = match &of.shows {
        Shows::Removal => "removal".to_owned(),
        Shows::Ply { number, .. } => format!("ply-{number}"),
    };
    let side = if of.side == Side::Back { "back" } else { "outer" };
    let part = if of.part.1 > 1 { format!("-part-{}", of.part.0) } else { String::new() };
    format!("{}-{what}-{side}{part}", of.repair)
}

fn case_words(case: Case) -> &'static str {
    match case {
        Case::Low => "low case: as it shows",
        Case::Likely => "likely case",
        Case::High => "high case: as large as it may be",
    }
}
