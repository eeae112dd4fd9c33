//! Figures with metric units in a sentence: one, or a row of them that share the unit behind the
//! last. Where it is not certain what belongs together, all stays metric.

use super::units::{self, Told, converted, mat_ounces};

/// What stands between the figures of a row.
const JOINS: [&str; 11] = [
    " / at least ",
    " / at most ",
    " to at least ",
    " to at most ",
    " / ",
    " to ",
    " x ",
    " × ",
    "-",
    "–",
    "/",
];
/// Joins before which a count stands, unless the unit is that of a length and a width.
const TIMES: [&str; 2] = [" x ", " × "];
/// Words behind degrees that make a difference of them.
const DIFFERENCE_BEHIND: [&str; 14] = [
    " above", " below", " over", " under", " warmer", " colder", " cooler", " hotter", " higher",
    " lower", " apart", " more", " less", " an hour",
];
/// Words before degrees that make a difference of them.
const DIFFERENCE_BEFORE: [&str; 8] =
    ["± ", "within ", "by ", "rise of ", "fall of ", "drop of ", "difference of ", "margin of "];
/// Two figures joined like this may or may not share a unit.
const UNCERTAIN: [&str; 3] = [" and ", " or ", ", "];
/// A density over something: its parts are not told apart.
const OVER: [&str; 4] = ["per m", "per dm", "per kg", "per l"];

/// A figure as it is written.
struct Figure<'w> {
    /// The join before it; empty for the first.
    join: &'w str,
    plus: bool,
    value: f64,
    decimals: usize,
}

/// A row of figures and their unit.
struct Row<'w> {
    figures: Vec<Figure<'w>>,
    unit: &'w str,
    /// The whole of it as it is written.
    written: &'w str,
}

/// A sentence with every row of metric figures told in customary units first.
pub(super) fn told(words: &str) -> String {
    let mut told = String::with_capacity(words.len() + words.len() / 4);
    let mut at = 0;
    while let Some((before, rest)) = words.split_at_checked(at).filter(|(_, rest)| !rest.is_empty())
    {
        let (text, length) = match starts(before, rest).then(|| here(before, rest)).flatten() {
            Some(found) => found,
            None => {
                let sign = rest.chars().next().map_or(1, char::len_utf8);
                (rest.get(..sign).unwrap_or_default().to_owned(), sign)
            }
        };
        told.push_str(&text);
        at += length;
    }
    told
}

/// A figure may start here.
fn starts(before: &str, rest: &str) -> bool {
    let mut ahead = rest.chars();
    let signed = ahead.next().is_some_and(|sign| matches!(sign, '+' | '-' | '−'));
    let digit = |sign: Option<char>| sign.is_some_and(|sign| sign.is_ascii_digit());
    if !(digit(rest.chars().next()) || signed && digit(ahead.next())) {
        return false;
    }
    let within = |sign: char| {
        sign.is_alphanumeric()
            || matches!(sign, '.' | '_' | ':' | '/' | '-' | '−' | '–' | '+' | '#' | ',')
    };
    if before.chars().next_back().is_some_and(within) {
        return false;
    }
    // 1 200: one figure, written in groups of three.
    let grouped = before.strip_suffix(' ').is_some_and(|before| digit(before.chars().next_back()))
        && rest.chars().take_while(char::is_ascii_digit).count() == 3;
    let uncertain = UNCERTAIN.iter().any(|join| {
        before.strip_suffix(join).is_some_and(|before| digit(before.chars().next_back()))
    });
    !grouped && !uncertain
}

/// What a row that starts here is told as, with the bytes it takes; none where nothing does.
fn here(before: &str, rest: &str) -> Option<(String, usize)> {
    if let Some(found) = mat_by_name(before, rest) {
        return Some(found);
    }
    let row = row(rest)?;
    let behind = rest.get(row.written.len()..).unwrap_or_default();
    let as_it_is = Some((row.written.to_owned(), row.written.len()));
    if row.is_difference(before, behind) || is_over_something(behind) {
        return as_it_is;
    }
    let Some((counts, figures)) = row.counted() else { return as_it_is };
    let largest = figures.iter().map(|one| one.value.abs()).fold(0.0, f64::max);
    let told = units::of(row.unit, largest)?;
    let text: String = figures
        .iter()
        .enumerate()
        .map(|(number, one)| one.told(number == 0, row.unit, &told))
        .collect();
    let kept = row.written.get(..counts).unwrap_or_default();
    let metric = row.written.get(counts..).unwrap_or_default();
    Some((format!("{kept}{text} {} ({metric})", told.unit), row.written.len()))
}

/// `mat 450` names a mat by its weight without the unit.
fn mat_by_name(before: &str, rest: &str) -> Option<(String, usize)> {
    let ahead = before.strip_suffix("mat ")?;
    if ahead.chars().next_back().is_some_and(char::is_alphanumeric) {
        return None;
    }
    let (figure, behind) = number(rest)?;
    let ounces = mat_ounces(figure.value).filter(|_| figure.decimals == 0)?;
    let named =
        !behind.starts_with(" g") && !behind.starts_with(|sign: char| sign.is_alphanumeric());
    let length = rest.len() - behind.len();
    named.then(|| (format!("{ounces} oz/ft² ({} g/m²)", figure.value), length))
}

fn is_over_something(behind: &str) -> bool {
    if !behind.starts_with(" of ") {
        return false;
    }
    let near: String = behind.chars().take(24).collect();
    OVER.iter().any(|over| near.contains(over))
}

impl Row<'_> {
    /// Degrees that say how far two temperatures are apart.
    fn is_difference(&self, before: &str, behind: &str) -> bool {
        matches!(self.unit, "C" | "°C")
            && (DIFFERENCE_BEHIND.iter().any(|word| behind.starts_with(word))
                || DIFFERENCE_BEFORE.iter().any(|word| before.ends_with(word))
                || self.figures.iter().any(|one| one.plus))
    }

    /// Bytes of counts, as in `2 x 5 kg`, and the figures behind them; none where a length and a
    /// width may be meant.
    fn counted(&self) -> Option<(usize, &[Figure<'_>])> {
        let last = self.figures.iter().rposition(|one| TIMES.contains(&one.join)).unwrap_or(0);
        if last == 0 || self.unit == "mm" {
            return Some((0, &self.figures));
        }
        let (counts, figures) = self.figures.split_at_checked(last)?;
        let [count] = counts else { return None };
        let join = figures.first()?.join;
        let bytes = self.written.find(join)? + join.len();
        (count.decimals == 0).then_some((bytes, figures))
    }
}

impl Figure<'_> {
    fn told(&self, first: bool, unit: &str, told: &Told) -> String {
        let join = if first { "" } else { self.join };
        let plus = if self.plus { "+" } else { "" };
        let by_name = mat_ounces(self.value).filter(|_| matches!(unit, "g/m²" | "g/m2"));
        let figure =
            by_name.map_or_else(|| converted(self.value, self.decimals, told), |oz| oz.to_string());
        format!("{join}{plus}{figure}")
    }
}

/// The row of figures that starts here, with its unit.
fn row(text: &str) -> Option<Row<'_>> {
    let (first, mut rest) = number(text)?;
    let mut figures = vec![first];
    while let Some((join, (figure, behind))) = JOINS.iter().find_map(|join| {
        let found = number(rest.strip_prefix(join)?)?;
        Some((*join, found))
    }) {
        figures.push(Figure { join, ..figure });
        rest = behind;
    }
    let unit = rest.strip_prefix(' ')?;
    let length = unit
        .find(|sign: char| !(sign.is_alphanumeric() || matches!(sign, '°' | '²' | '³' | '/')))
        .unwrap_or(unit.len());
    let (unit, behind) = unit.split_at_checked(length)?;
    units::of(unit, 0.0)?;
    Some(Row { figures, unit, written: text.get(..text.len() - behind.len())? })
}

/// The figure that starts here and what stands behind it.
fn number(text: &str) -> Option<(Figure<'_>, &str)> {
    let bare = text.trim_start_matches(['+', '-', '−']);
    let sign = text.get(..text.len() - bare.len())?;
    if sign.chars().count() > 1 {
        return None;
    }
    let digits = |text: &str| text.bytes().take_while(u8::is_ascii_digit).count();
    let whole = digits(bare);
    if whole == 0 {
        return None;
    }
    let decimals = bare.get(whole..)?.strip_prefix('.').map_or(0, digits);
    let length = if decimals > 0 { whole + 1 + decimals } else { whole };
    let (written, behind) = bare.split_at_checked(length)?;
    let value: f64 = written.parse().ok()?;
    let value = if matches!(sign, "-" | "−") { -value } else { value };
    Some((Figure { join: "", plus: sign == "+", value, decimals }, behind))
}
