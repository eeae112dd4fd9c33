//! Letters of the two typefaces every reader of PDF brings along: codes and widths.
//!
//! Widths are those of the published font metrics of Helvetica and Helvetica-Bold, in thousandths of
//! the size, for ASCII; anything else counts as wide, so that lines break early rather than late.

/// Widths of ASCII from the space on, Helvetica.
const PLAIN: [u16; 95] = [
    278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278, 556, 556, 556,
    556, 556, 556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556, 1015, 667, 667, 722, 722, 667,
    611, 778, 722, 278, 500, 667, 556, 833, 722, 778, 667, 778, 722, 667, 611, 722, 667, 944, 667,
    667, 611, 278, 278, 278, 469, 556, 333, 556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500,
    222, 833, 556, 556, 556, 556, 333, 500, 278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584,
];
/// The same of Helvetica-Bold.
const BOLD: [u16; 95] = [
    278, 333, 474, 556, 556, 889, 722, 238, 333, 333, 389, 584, 278, 333, 278, 278, 556, 556, 556,
    556, 556, 556, 556, 556, 556, 556, 333, 333, 584, 584, 584, 611, 975, 722, 722, 722, 722, 667,
    611, 778, 722, 278, 556, 722, 611, 833, 722, 778, 667, 778, 722, 667, 611, 722, 667, 944, 667,
    667, 611, 333, 278, 333, 584, 556, 333, 556, 611, 556, 611, 556, 333, 611, 611, 278, 278, 556,
    278, 889, 611, 611, 611, 611, 389, 556, 333, 611, 556, 778, 556, 556, 500, 389, 280, 389, 584,
];
/// Any other letter.
const WIDE: u16 = 1000;

/// Letters of code page 1252 that lie elsewhere in Unicode, from code 0x80 on; nought where none is.
const FROM_80: [char; 32] = [
    '€', '\0', '‚', 'ƒ', '„', '…', '†', '‡', 'ˆ', '‰', 'Š', '‹', 'Œ', '\0', 'Ž', '\0', '\0', '‘',
    '’', '“', '”', '•', '–', '—', '˜', '™', 'š', '›', 'œ', '\0', 'ž', 'Ÿ',
];

/// The code of a letter in the encoding of the PDF; none where it has no such letter.
fn code(letter: char) -> Option<u8> {
    match u32::from(letter) {
        of @ (0x20..=0x7E | 0xA0..=0xFF) => u8::try_from(of).ok(),
        _ => {
            let at = FROM_80.iter().position(|known| *known == letter && letter != '\0')?;
            u8::try_from(0x80 + at).ok()
        }
    }
}

/// A text with every letter that the typeface lacks named by its number: nothing is dropped.
pub(in crate::report) fn spelt(text: &str) -> String {
    text.chars()
        .map(|letter| match code(letter) {
            Some(_) => letter.to_string(),
            None => format!("[U+{:04X}]", u32::from(letter)),
        })
        .collect()
}

/// The bytes of a text for the PDF.
pub(in crate::report) fn bytes(text: &str) -> Vec<u8> {
    spelt(text).chars().filter_map(code).collect()
}

/// How wide a text is, mm.
pub(in crate::report) fn width_mm(text: &str, size_mm: f64, bold: bool) -> f64 {
    let table = if bold { &BOLD } else { &PLAIN };
    let of = |letter: char| {
        let number = u32::from(letter).checked_sub(0x20).map(|at| at as usize);
        f64::from(number.and_then(|at| table.get(at)).copied().unwrap_or(WIDE))
    };
    spelt(text).chars().map(of).sum::<f64>() * size_mm / 1000.0
}

/// Breaks a text at spaces into lines no wider than `most_mm`; a word that is wider by itself is
/// broken anywhere.
pub(in crate::report) fn broken(text: &str, size_mm: f64, bold: bool, most_mm: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        let longer = if line.is_empty() { word.to_owned() } else { format!("{line} {word}") };
        if width_mm(&longer, size_mm, bold) <= most_mm {
            line = longer;
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        for letter in word.chars() {
            let longer = format!("{line}{letter}");
            if width_mm(&longer, size_mm, bold) > most_mm && !line.is_empty() {
                lines.push(std::mem::take(&mut line));
            }
            line.push(letter);
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_that_the_typeface_lacks_are_named() {
        assert_eq!(spelt("Łódź 0.5 m²"), "[U+0141]ód[U+017A] 0.5 m²");
        assert_eq!(
            bytes("é€—\u{7}"),
            [0xE9, 0x80, 0x97].iter().copied().chain(*b"[U+0007]").collect::<Vec<u8>>()
        );
    }

    #[test]
    fn no_line_is_wider_than_asked_and_no_word_is_lost() {
        let text = "a quay lamp post with a_very_long_word_that_has_no_space_in_it_at_all end";
        let lines = broken(text, 3.0, false, 40.0);
        assert!(lines.iter().all(|line| width_mm(line, 3.0, false) <= 40.0));
        let joined: String = lines.concat().replace(' ', "");
        assert_eq!(joined, text.replace(' ', ""));
    }
}
