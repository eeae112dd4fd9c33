//! Maps of a job as SVG: every panel with marks as one sees it who stands before it, and laid flat;
//! where the panels are on the body; a key.
//!
//! Lines differ by width and dashes and fixings by shape, so that all of it reads in black and white.
//! Every drawing is 180 mm wide or narrower, carries its words as text and may stand inline in a
//! page beside others: it has no ids, no styles and no references. Same input, same bytes. Nothing is
//! worked out here but where lines lie: the areas are those of the plan.

mod alone;
mod both;
mod content;
mod fixed;
mod ground;
mod ink;
mod key;
mod labels;
mod laid;
mod overview;
mod places;
mod sheet;
mod svg;
mod unseen;
mod view;
mod worked;

pub use both::of_both;
pub use labels::LabelBox;

use rayon::prelude::*;

use crate::damage::Finding;
use crate::damage::readings::Shown;
use crate::read::job::Job;
use crate::repair::Plan;
use crate::report::model::Report;
use crate::surface::flatten::LaidFlat;
use crate::surface::placed::PlacedPanel;
use content::Content;
use ink::Canvas;
use key::Used;
use sheet::Drawn;
use view::View;

/// A panel whose face is nowhere steeper than this to the sheet is drawn once, laid flat: both views
/// would be the same, degrees.
const LEVEL_DEG: f64 = 4.0;
/// Laid flat a panel shows more where more than this share of its face is turned farther than
/// [`SLANTED_DEG`] from the eye, or where something on it is out of sight (choice: 20 degrees shorten a
/// length by 6 %).
const SLANTED_SHARE: f64 = 0.1;
/// See [`SLANTED_SHARE`], degrees.
const SLANTED_DEG: f64 = 20.0;

/// What maps are made from.
#[derive(Debug, Clone, Copy)]
pub struct Mapped<'a, 'j> {
    /// The job.
    pub job: &'a Job,
    /// Its panels.
    pub panels: &'a [PlacedPanel<'a>],
    /// Its marks.
    pub findings: &'a [Finding<'j>],
    /// What is done about them.
    pub plan: &'a Plan<'j>,
    /// Grids of readings.
    pub grids: &'a [Shown<'j>],
    /// What stops and what is left out.
    pub report: &'a Report,
}

/// All maps of a job.
#[derive(Debug, Clone, PartialEq)]
pub struct Maps {
    /// The body from where one would stand; without places of panels, the panels side by side.
    pub overview: Vec<Drawing>,
    /// The panels that have marks, readings, or work that comes over a seam.
    pub panels: Vec<PanelMap>,
    /// What the lines and signs of all of them mean.
    pub key: Drawing,
}

/// The maps of one panel.
#[derive(Debug, Clone, PartialEq)]
pub struct PanelMap {
    /// What the panel is called.
    pub panel: String,
    /// Marks whose place is on it.
    pub marks: Vec<u32>,
    /// As one sees it who stands before it; none where the panel is flat.
    pub stood: Option<Drawing>,
    /// Laid flat.
    pub flat: Option<Drawing>,
    /// It shows more laid flat than as it is stood before.
    pub flat_says_more: bool,
    /// What a reader has to know about both, a sentence each.
    pub says: Vec<String>,
}

/// One drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// What it is.
    pub title: String,
    /// What can be seen on it, for people who cannot see it.
    pub says: String,
    /// A whole `svg` element that may stand inline in a page.
    pub svg: String,
    /// Its width, mm.
    pub width_mm: f64,
    /// Its height, mm.
    pub height_mm: f64,
    canvas: Canvas,
    used: Used,
    boxes: Vec<LabelBox>,
}

impl Drawing {
    /// Boxes of its labels, mm, y down: none meets another or leaves the sheet.
    #[must_use]
    pub fn label_boxes(&self) -> &[LabelBox] {
        &self.boxes
    }

    fn new(title: String, says: String, canvas: Canvas, used: Used, scale: Option<f64>) -> Self {
        let svg = svg::of(&canvas, &title, &says, scale);
        let (width_mm, height_mm) = (canvas.width_mm, canvas.height_mm);
        Self { title, says, svg, width_mm, height_mm, canvas, used, boxes: Vec::new() }
    }
}

/// Closed lines as they are drawn on a flat map.
#[derive(Debug, Clone, PartialEq)]
pub struct Outline {
    /// The panel.
    pub panel: String,
    /// What it is: `seen 1`, `likely 1`, `high 1` of mark 1; `removal R1`, `ply R1-2`,
    /// `prepared R1` of repair R1, with ` behind` for the back; `readings NAME`; `ring NAME` of a
    /// fixing.
    pub what: String,
    /// How many mm of skin 1 mm of the sheet stands for.
    pub scale: f64,
    /// Its lines, mm on the sheet, y down; a hole in it runs the other way round.
    pub lines_mm: Vec<Vec<[f64; 2]>>,
}

/// Draws all maps of a job.
///
/// # Errors
/// In words: a mesh far too fine.
pub fn of_job(of: &Mapped<'_, '_>) -> Result<Maps, String> {
    let (panels, mut used) = panel_maps(of, numbers(of), &|number| content::of(of, number))?;
    let overview = overview::of_job(of);
    for drawing in &overview {
        used.and(&drawing.used);
    }
    let key = key_of(used);
    Ok(Maps { overview, panels, key })
}

/// Maps of some panels with what is on each, and what they use of the key.
fn panel_maps(
    of: &Mapped<'_, '_>,
    numbers: Vec<usize>,
    content: &(dyn Fn(usize) -> Result<Content, String> + Sync),
) -> Result<(Vec<PanelMap>, Used), String> {
    let map = |number: usize| -> Option<Result<PanelMap, String>> {
        let on = of.panels.get(number)?.by_itself();
        let content = match content(number) {
            Ok(content) => content,
            Err(why) => return Some(Err(why)),
        };
        let level = view::steepest_deg(on) < LEVEL_DEG;
        let stood = if level { None } else { view::stood(on) };
        let map = |flat: &View<'_>| panel_map(of, number, &content, stood.as_ref(), flat);
        Some(Ok(with_flat(on, &content, map)))
    };
    let made: Vec<_> = numbers.into_par_iter().filter_map(map).collect();
    let panels: Vec<PanelMap> = made.into_iter().collect::<Result<_, _>>()?;
    let mut used = Used::default();
    for drawing in panels.iter().flat_map(|map| map.stood.iter().chain(&map.flat)) {
        used.and(&drawing.used);
    }
    Ok((panels, used))
}

fn key_of(used: Used) -> Drawing {
    let mut canvas = Canvas { width_mm: sheet::SHEET_MM, height_mm: 0.0, items: Vec::new() };
    canvas.height_mm = used.draw(&mut canvas, 2.0) + 1.0;
    Drawing::new("key of the maps".to_owned(), used.says(), canvas, used, None)
}

/// Every closed line of the flat maps, as it is drawn.
///
/// # Errors
/// As [`of_job`].
pub fn outlines(of: &Mapped<'_, '_>) -> Result<Vec<Outline>, String> {
    let mut found = Vec::new();
    for number in numbers(of) {
        let Some(panel) = of.panels.get(number) else { continue };
        let content = content::of(of, number)?;
        let drawn =
            with_flat(panel.by_itself(), &content, |view| sheet::drawn(view, &content).outlines);
        found.extend(drawn.into_iter().map(|mut one| {
            one.panel.clone_from(&panel.of.name);
            one
        }));
    }
    Ok(found)
}

/// Panels that have a map.
fn numbers(of: &Mapped<'_, '_>) -> Vec<usize> {
    (0..of.panels.len())
        .filter(|number| {
            of.findings.iter().any(|one| one.placed.panel == *number)
                || of.plan.repairs.iter().any(|one| one.panels.contains(number))
                || of.grids.iter().any(|one| one.panel == *number)
        })
        .collect()
}

/// What a flat view of a panel is made from: its lattice.
fn with_flat<T>(on: &PlacedPanel<'_>, content: &Content, take: impl FnOnce(&View<'_>) -> T) -> T {
    let tags = &on.mesh.tags;
    let turned = |face: u32| tags.get(face as usize).is_some_and(|tag| tag.on_return);
    let worked = content.layers.iter().filter(|layer| !layer.what.is_empty());
    let worked = worked.filter(|layer| layer.pen != ink::Pen::Ring);
    let lines = worked.flat_map(|layer| layer.on.lines.iter().flatten());
    let spots = content.spots.iter().map(|spot| &spot.at);
    let any = lines.chain(spots).any(|point| turned(point.face));
    let lattice = laid::lattice(on);
    let sheet = lattice.as_ref().and_then(|lattice| {
        let all: Vec<u32> = (0_u32..).zip(&lattice.faces).map(|(face, _)| face).collect();
        let mut sheets = LaidFlat::of(lattice, &all);
        (sheets.len() == 1).then(|| sheets.pop()).flatten().map(|sheet| (sheet, lattice))
    });
    take(&view::flat(on, sheet.as_ref(), any))
}

fn panel_map(
    of: &Mapped<'_, '_>,
    number: usize,
    content: &Content,
    stood: Option<&View<'_>>,
    flat: &View<'_>,
) -> PanelMap {
    let panel = of.panels.get(number).map_or("", |panel| panel.of.name.as_str());
    let drawing = |view: &View<'_>, how: &str| {
        let drawn = sheet::drawn(view, content);
        let title = format!("{panel}, {how}");
        let says = sentence(&title, view, &drawn);
        let Drawn { canvas, boxes, signs, scale, hidden, .. } = drawn;
        let used = Used::of(&canvas, &signs);
        let scale = view.is_flat.then_some(scale);
        (Drawing { boxes, ..Drawing::new(title, says, canvas, used, scale) }, hidden)
    };
    let slanted = of
        .panels
        .get(number)
        .is_none_or(|on| view::turned_share(on.by_itself(), SLANTED_DEG) > SLANTED_SHARE);
    let stood = stood.map(|view| drawing(view, "seen from where one would stand"));
    let all_seen = stood.as_ref().is_some_and(|(_, hidden)| *hidden == 0);
    PanelMap {
        panel: panel.to_owned(),
        marks: content.marks.clone(),
        stood: stood.map(|(drawing, _)| drawing),
        flat: Some(drawing(flat, "laid flat, seen from outside").0),
        flat_says_more: slanted || !all_seen,
        says: content.says.clone(),
    }
}

fn sentence(title: &str, view: &View<'_>, drawn: &Drawn) -> String {
    let mut said = vec![format!("{title}.")];
    if drawn.where_.is_empty() {
        said.push("No mark is on it.".to_owned());
    }
    said.extend(drawn.where_.iter().map(|one| format!("{}.", upper_first(one))));
    said.extend(view.says.iter().cloned());
    match drawn.hidden {
        0 => {}
        1 => said.push("One thing is on the part that is left out.".to_owned()),
        many => said.push(format!("{many} things are on the part that is left out.")),
    }
    said.join(" ")
}

fn upper_first(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
