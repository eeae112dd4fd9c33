//! The record as one page of HTML for one reader: pictures first, figures that open to their rules.
//!
//! The file stands alone: no script, no outside request, nothing loaded. Every text of the user's is
//! escaped by the template; stop lines and exclusions stand on every printed page, in the head of the
//! table that the whole page is set in, because that is what printing repeats.

mod basis;
mod cards;
mod changes;
mod charts;
mod cut;
mod frame;
mod front;
mod inspector;
mod money;
mod order;
mod owner;
mod repairs;
mod say;
mod shop;
mod time;
mod tracks;

pub use changes::changes_page;
use maud::{Markup, html};
pub use tracks::history_page;

use super::full_size::CutDrawing;
use super::imperial::Units;
use super::maps::Maps;
use super::model::Report;
use super::photos::Photo;
use crate::diagnostic::printable;
use frame::Frame;
use say::Say;

/// Whom a page is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Reader {
    /// Whoever owns the vehicle or thinks of buying it.
    Owner,
    /// Whoever states its condition.
    Inspector,
    /// Whoever does the work.
    Shop,
}

impl Reader {
    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Owner => "the owner",
            Self::Inspector => "the inspector",
            Self::Shop => "the shop",
        }
    }

    /// What only this reader is shown.
    #[must_use]
    pub const fn only_here(self) -> &'static str {
        match self {
            Self::Owner => {
                "whether it may be driven, whether it can be done here and what would stop it; what to look at behind each mark; what is done now, later or not at all"
            }
            Self::Inspector => {
                "what was looked at, panel by panel, sound ones too; what was measured, apart from what is judged; entries as they were written and what was amended; readings; signature"
            }
            Self::Shop => {
                "a job card a repair with every case of its plies; the cut list with its drawings; the terms that are agreed before work begins"
            }
        }
    }
}

/// Pictures that go into a page.
#[derive(Debug, Clone)]
pub struct Pictures {
    /// Maps of the body and of panels.
    pub maps: Maps,
    /// Cut plans.
    pub cut: Vec<CutDrawing>,
    /// Photographs.
    pub photos: Vec<Photo>,
}

/// The page, whole.
#[must_use]
pub fn page(report: &Report, reader: Reader, units: &Units, pictures: &Pictures) -> String {
    let say = Say::new(report, units);
    let body = match reader {
        Reader::Owner => owner::sections(&say, pictures),
        Reader::Inspector => inspector::sections(&say, pictures),
        Reader::Shop => shop::sections(&say, pictures),
    };
    let main = html! {
        (front::stops(&say))
        (contents(&body))
        @for part in &body { (part.markup()) }
        (basis::sections(&say))
        (front::last(&say, reader))
    };
    let frame = Frame {
        title: format!("{}, for {}", printable(front::name(report)), reader.words()),
        every: front::every_page(&say),
        foot: front::foot(&say),
        header: front::head(&say, reader),
        main,
    };
    frame.page()
}

/// A part of the page with a heading.
struct Part {
    id: &'static str,
    heading: String,
    /// It begins a sheet of paper of its own.
    new_sheet: bool,
    body: Markup,
}

impl Part {
    fn new(id: &'static str, heading: &str, body: Markup) -> Self {
        Self { id, heading: heading.to_owned(), new_sheet: false, body }
    }

    fn on_a_new_sheet(mut self) -> Self {
        self.new_sheet = true;
        self
    }

    fn markup(&self) -> Markup {
        html! {
            section id=(self.id) .sheet[self.new_sheet] {
                h2 { (self.heading) }
                (self.body)
            }
        }
    }
}

fn contents(parts: &[Part]) -> Markup {
    html! {
        nav aria-label="Contents" {
            ul {
                @for part in parts { li { a href={ "#" (part.id) } { (part.heading) } } }
                li { a href="#assumed" { "What was assumed" } }
                li { a href="#from" { "Where the figures come from" } }
            }
        }
    }
}
