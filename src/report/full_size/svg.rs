//! A drawing as SVG 1.1 in true millimetres.

use std::fmt::Write;

use super::canvas::{Canvas, Item, Words};
use super::letters;

/// One drawing, whole.
pub(super) fn of(canvas: &Canvas, title: &str) -> String {
    let (width, height) = (canvas.width_mm, canvas.height_mm);
    let mut text = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width:.3}mm\" height=\"{height:.3}mm\" viewBox=\"0 0 {width:.3} {height:.3}\">\n<title>{}</title>\n<rect width=\"100%\" height=\"100%\" fill=\"white\"/>\n",
        escaped(title)
    );
    for item in &canvas.items {
        match item {
            Item::Line { points, closed, pen } => {
                let mut path = String::new();
                for (number, point) in points.iter().enumerate() {
                    let letter = if number == 0 { 'M' } else { 'L' };
                    let (x, y) = (point.x, height - point.y);
                    let _ = write!(path, "{letter}{x:.3} {y:.3}");
                }
                if *closed {
                    path.push('Z');
                }
                let dashes: Vec<String> = pen.dashes_mm().iter().map(ToString::to_string).collect();
                let broken = if dashes.is_empty() {
                    String::new()
                } else {
                    format!(" stroke-dasharray=\"{}\"", dashes.join(" "))
                };
                let _ = writeln!(
                    text,
                    "<path class=\"{}\" d=\"{path}\" fill=\"none\" stroke=\"black\" stroke-width=\"{}\"{broken}/>",
                    pen.word(),
                    pen.width_mm()
                );
            }
            Item::Words(words) => say(&mut text, words, height),
        }
    }
    text + "</svg>\n"
}

fn say(text: &mut String, words: &Words, height: f64) {
    let (x, y) = (words.at.x, height - words.at.y);
    let turned = if words.upwards {
        format!(" transform=\"rotate(-90 {x:.3} {y:.3})\"")
    } else {
        String::new()
    };
    let weight = if words.bold { " font-weight=\"bold\"" } else { "" };
    let _ = writeln!(
        text,
        "<text x=\"{x:.3}\" y=\"{y:.3}\" font-family=\"Helvetica, Arial, sans-serif\" font-size=\"{}\"{weight}{turned}>{}</text>",
        words.size_mm,
        escaped(&words.text)
    );
}

/// Text that no reader of XML takes for anything else.
pub(in crate::report) fn escaped(text: &str) -> String {
    let mut safe = String::new();
    for letter in text.chars() {
        match letter {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            letter if letter.is_control() || matches!(letter, '\u{FFFE}' | '\u{FFFF}') => {
                safe.push_str(&letters::spelt(&letter.to_string()));
            }
            letter => safe.push(letter),
        }
    }
    safe
}
