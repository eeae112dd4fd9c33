//! One sheet of a pattern: its drawing whole, and cut into pages.

use nalgebra::{Point2, Vector2};

use super::canvas::{Canvas, Item, Pen};
use super::page::{self, Begun, HeadLine, SMALL_MM};
use super::paper::{Paper, Tiles, seen};
use super::{PatternBook, case_words, title};
use crate::buy::full_size::{LineKind, Sheet, Shows};

/// White round a drawing, mm.
const ROUND_MM: f64 = 6.0;
/// Room for the key of lines, mm.
const KEY_MM: f64 = 4.5;

fn pen(kind: LineKind) -> Pen {
    match kind {
        LineKind::Cut => Pen::Cut,
        LineKind::Trim => Pen::Trim,
        LineKind::Strip => Pen::Strip,
        LineKind::Removal => Pen::Removal,
        LineKind::Ground => Pen::Ground,
    }
}

/// The longest name of a page keeps the head equally high on all pages of a sheet.
const LONGEST: &str =
    "Sheet 00 of 00: column 00 of 00, row 00 of 00; joins 00 on the left, 00 above";

/// Words of the key.
fn meaning(kind: LineKind, behind: bool) -> &'static str {
    match kind {
        LineKind::Removal if behind => "edge of the opening",
        LineKind::Ground if behind => "end of what is keyed",
        LineKind::Cut => "cut",
        LineKind::Trim => "edge: lay over it, trim when the resin is rubbery",
        LineKind::Strip => "strip, cut each with its lap",
        LineKind::Removal => "edge of the removal",
        LineKind::Ground => "end of the taper",
    }
}

/// The sheet as it is printed: a ply takes no more paper for the sake of a landmark, which the sheet of
/// the removal has.
fn as_printed(book: &PatternBook, of: &Sheet, paper: Paper) -> Sheet {
    let mut bare = of.clone();
    if of.shows != Shows::Removal {
        let takes = |one: &Sheet| {
            let (low, high) = reaches(one);
            let tiles = [false, true].into_iter().filter_map(|wide| {
                let begun = begun(book, of, paper, wide, LONGEST);
                Tiles::of(low, high, begun.window)
            });
            tiles.map(|tiles| tiles.columns * tiles.rows).min()
        };
        bare.landmarks.clear();
        let least = takes(&bare);
        for landmark in &of.landmarks {
            bare.landmarks.push(landmark.clone());
            if takes(&bare) != least {
                bare.landmarks.pop();
            }
        }
    }
    bare
}

/// Lines, crosses, landmarks, arrows and names in the sheet's own place.
fn items(of: &Sheet) -> Vec<Item> {
    let mut canvas = Canvas::default();
    for line in &of.lines {
        canvas.items.push(Item::Line {
            points: line.points_mm.clone(),
            closed: line.closed,
            pen: pen(line.kind),
        });
    }
    for landmark in &of.landmarks {
        canvas.cross(landmark.at_mm, 7.0, true);
        canvas.words(
            (landmark.at_mm.x + 5.0, landmark.at_mm.y + 5.0),
            SMALL_MM,
            true,
            &landmark.name,
        );
        // So that no sheet between the two is blank.
        let apart = |at: &Point2<f64>| (at - landmark.at_mm).norm();
        let near = of
            .crosses
            .iter()
            .min_by(|one, other| apart(&one.at_mm).total_cmp(&apart(&other.at_mm)));
        if let Some(cross) = near {
            let points = vec![landmark.at_mm, cross.at_mm];
            canvas.items.push(Item::Line { points, closed: false, pen: Pen::Tape });
        }
    }
    for cross in &of.crosses {
        canvas.cross(cross.at_mm, 5.0, false);
        canvas.words((cross.at_mm.x + 1.5, cross.at_mm.y + 1.5), SMALL_MM, false, &cross.name);
    }
    let (low, high) = of.bounds();
    let at = nalgebra::center(&low, &high);
    let up = Vector2::new(0.0, (high.y - low.y).clamp(6.0, 40.0) / 2.5);
    let foot = at + Vector2::new(-12.0, 0.0) - up * 0.5;
    canvas.arrow(foot, foot + up);
    canvas.words((foot.x + 1.5, foot.y), SMALL_MM, true, "up: larger v");
    let what = match &of.shows {
        Shows::Removal => format!("{} removal", of.repair),
        Shows::Ply { number, mat, .. } => format!("{} ply {number}: {mat}", of.repair),
    };
    canvas.middle((at.x, foot.y - 5.0), SMALL_MM, true, &what);
    canvas.items
}

/// Everything a sheet reaches to.
fn reaches(of: &Sheet) -> (Point2<f64>, Point2<f64>) {
    let (mut low, mut high) = of.bounds();
    for landmark in &of.landmarks {
        low = low.inf(&(landmark.at_mm - Vector2::repeat(8.0)));
        high = high.sup(&(landmark.at_mm + Vector2::repeat(8.0)));
    }
    (low - Vector2::repeat(ROUND_MM), high + Vector2::repeat(ROUND_MM))
}

/// What is said about a sheet.
fn head(book: &PatternBook, of: &Sheet) -> Vec<HeadLine> {
    let mut lines = vec![HeadLine { size_mm: 4.0, bold: true, text: title(of) }];
    let marks = crate::report::text::of_marks(&of.marks);
    let area = format!("{:.4} m² on the paper", of.flat_m2);
    lines.push(HeadLine::small(match &of.shows {
        Shows::Removal => format!(
            "{marks}; {}; removal {area}: {}",
            case_words(book.sheets.case),
            if of.behind {
                "the opening as it lies behind; key and clean out to the outer line".to_owned()
            } else if of.depth_mm > 0.0 {
                format!(
                    "take the skin down inside this line, {:.1} mm of glass at most, then taper out to the outer line",
                    of.depth_mm
                )
            } else {
                "take the gel coat off inside this line, no glass; feather out to the outer line"
                    .to_owned()
            }
        ),
        Shows::Ply { on_side, of: many, mat, reach_mm, strips, .. } => format!(
            "{marks}; {}; {mat}; laid {on_side} of {many} on this side; {reach_mm:.0} mm beyond the removal; {area}{}",
            case_words(book.sheets.case),
            if *strips > 1 { format!("; cut in {strips} pieces") } else { String::new() }
        ),
    }));
    if let Some(why) = book.waits.get(of.number).and_then(Option::as_ref) {
        lines.push(HeadLine {
            size_mm: SMALL_MM,
            bold: true,
            text: format!("Not to be opened or cut yet: {why}."),
        });
    }
    for cross in &of.crosses {
        let tapes: Vec<String> = cross
            .tapes
            .iter()
            .map(|tape| format!("{:.0} mm from {}", tape.mm, tape.landmark))
            .collect();
        let tapes = if tapes.is_empty() {
            "no landmark of the panel is in reach of a tape".to_owned()
        } else {
            tapes.join(", ")
        };
        lines.push(HeadLine::small(format!("Cross {:?}: {tapes}, over the skin.", cross.name)));
    }
    let mut agree = Vec::new();
    if of.crosses.len() > 1 {
        let off_mm = of.crosses_off_mm;
        agree.push(if of.crosses_agree {
            format!("between crosses paper and skin agree within {off_mm:.1} mm")
        } else {
            format!("between crosses paper and skin differ by {off_mm:.1} mm: the skin is not flat enough, go by the tapes and try the paper dry")
        });
    }
    for one in &of.landmarks {
        agree.push(format!(
            "{:?} is on the paper, every tape within {:.1} mm",
            one.name, one.off_mm
        ));
    }
    for (name, off_mm) in &of.off_the_paper {
        agree.push(format!(
            "{name:?} is near and not drawn: paper and tape differ by {off_mm:.1} mm, use the tape"
        ));
    }
    if !agree.is_empty() {
        lines.push(HeadLine::small(format!("Laid on the panel: {}.", agree.join("; "))));
    }
    lines.extend(of.notes.iter().map(|note| HeadLine::small(format!("Note: {note}"))));
    lines
}

/// A page begun, with the key of its lines in it.
fn begun(book: &PatternBook, of: &Sheet, paper: Paper, wide: bool, which: &str) -> Begun {
    let mut head = head(book, of);
    head.push(HeadLine { size_mm: SMALL_MM, bold: true, text: which.to_owned() });
    let mut page = page::begun(book, paper, wide, &head, KEY_MM);
    let y = page.corner.y + page.window.y + 2.0;
    key(&mut page.canvas, of, (page.corner.x, y));
    page
}

/// A short piece of every kind of line on the sheet, with its meaning.
fn key(canvas: &mut Canvas, of: &Sheet, (mut x, y): (f64, f64)) {
    let mut kinds: Vec<LineKind> = of.lines.iter().map(|line| line.kind).collect();
    kinds.sort_unstable();
    kinds.dedup();
    for kind in kinds {
        canvas.line(&[(x, y + 0.8), (x + 14.0, y + 0.8)], pen(kind));
        let meaning = meaning(kind, of.behind);
        canvas.words((x + 16.0, y), SMALL_MM, false, meaning);
        x += 20.0 + super::letters::width_mm(meaning, SMALL_MM, false);
    }
}

/// The pages of a sheet, blank ones left out.
pub(super) fn pages(book: &PatternBook, of: &Sheet, paper: Paper) -> Vec<Canvas> {
    let of = &as_printed(book, of, paper);
    let (low, high) = reaches(of);
    let items = items(of);
    let laid = [false, true].into_iter().filter_map(|wide| {
        let begun = begun(book, of, paper, wide, LONGEST);
        Some((wide, Tiles::of(low, high, begun.window)?))
    });
    let Some((wide, tiles)) = laid.min_by_key(|(_, tiles)| tiles.columns * tiles.rows) else {
        let mut page = begun(book, of, paper, false, "Too large for this paper: take A3.");
        page.canvas.box_of(page.corner, page.corner + page.window, Pen::Frame);
        return vec![page.canvas];
    };
    let places: Vec<(usize, usize)> = (0..tiles.rows)
        .flat_map(|row| (0..tiles.columns).map(move |column| (column, row)))
        .collect();
    let mut found: Vec<((usize, usize), Vec<Item>)> = Vec::new();
    for place in places {
        let shown = seen(&items, tiles.corner(place.0, place.1), tiles.window);
        if shown.iter().any(|item| matches!(item, Item::Line { .. })) {
            found.push((place, shown));
        }
    }
    let many = found.len();
    let number = |column: usize, row: usize| {
        found.iter().position(|(place, _)| *place == (column, row)).map(|at| at + 1)
    };
    let joints = tiles.joints();
    let each = found.iter().enumerate();
    each.map(|(at, ((column, row), shown))| {
        let mut which = format!(
            "Sheet {} of {many}: column {} of {}, row {} of {}",
            at + 1,
            column + 1,
            tiles.columns,
            row + 1,
            tiles.rows
        );
        let left = column.checked_sub(1).and_then(|column| number(column, *row));
        let above = row.checked_sub(1).and_then(|row| number(*column, row));
        for (other, where_) in [(left, "on the left"), (above, "above")] {
            if let Some(other) = other {
                which.push_str(&format!("; joins {other} {where_}"));
            }
        }
        let mut page = begun(book, of, paper, wide, &which);
        let to = page.corner.coords;
        let window = tiles.window;
        for item in shown {
            page.canvas.items.push(moved(item, to));
        }
        page.canvas.box_of(page.corner, page.corner + window, Pen::Frame);
        if many > 1 {
            for joint in &joints {
                let at = joint - tiles.corner(*column, *row);
                if at.min() >= 0.0 && at.x <= window.x && at.y <= window.y {
                    page.canvas.cross(page.corner + at, 3.0, false);
                }
            }
        }
        page.canvas
    })
    .collect()
}

fn moved(item: &Item, by: Vector2<f64>) -> Item {
    match item {
        Item::Line { points, closed, pen } => Item::Line {
            points: points.iter().map(|point| point + by).collect(),
            closed: *closed,
            pen: *pen,
        },
        Item::Words(words) => {
            let mut words = words.clone();
            words.at += by;
            Item::Words(words)
        }
    }
}

/// The whole drawing on one sheet as large as it needs.
pub(super) fn whole(book: &PatternBook, of: &Sheet) -> Canvas {
    let (low, high) = reaches(of);
    let width = (high.x - low.x).max(180.0) + 20.0;
    let lines = page::above(book, head(book, of), width - 10.0);
    let above = page::height_mm(lines.len()) + 14.0;
    let height = (high.y - low.y).max(100.0) + above + 20.0;
    let mut canvas = Canvas::new(width, height);
    let to = Vector2::new(10.0 - low.x, 15.0 - low.y);
    canvas.items.extend(items(of).iter().map(|item| moved(item, to)));
    page::written(&mut canvas, &lines);
    let y = height - above + 4.0;
    key(&mut canvas, of, (5.0, y));
    canvas.line(&[(10.0, 5.0), (110.0, 5.0)], Pen::Frame);
    for step in 0..=10 {
        let at = 10.0 + 10.0 * f64::from(step);
        canvas.line(&[(at, 5.0), (at, 7.0)], Pen::Frame);
    }
    canvas.words((113.0, 5.0), SMALL_MM, false, "100 mm");
    canvas
}
