//! Order, cut plan and price as a workbook, XLSX (ECMA-376, Office Open XML).
//!
//! A text is written as a string, which no spreadsheet works out, whoever wrote it; a figure is a
//! number as the record has it. The first row names the columns and stays in view; the stop lines,
//! referrals, blocks and what is left out follow right below it on every sheet, because a sheet goes
//! about alone. The properties of the document are fixed, the date among them: the same report gives
//! the same bytes.

use rust_xlsxwriter::{
    DocProperties, ExcelDateTime, Format, FormatAlign, Workbook, Worksheet, XlsxError,
};

use super::model::Report;
use super::sheets::{Cell, Sheet, sheets};

/// The date every workbook carries: no clock is read (choice: the first day the format's library
/// takes).
const MADE: (u16, u8, u8) = (2000, 1, 1);
/// The most UTF-16 units a cell holds: beyond it the library writes none.
const LONGEST: usize = 32_767;

#[derive(Debug)]
struct Looks {
    head: Format,
    warning: Format,
    plain: Format,
    money: Format,
}

/// Order and price as the bytes of a workbook.
///
/// # Errors
/// In words: a text that is longer than a cell can hold.
pub fn xlsx(report: &Report) -> Result<Vec<u8>, String> {
    written(&sheets(report), report.price.as_ref().map_or(2, |price| price.decimals))
}

fn written(sheets: &[Sheet], decimals: u32) -> Result<Vec<u8>, String> {
    if let Some(long) = sheets.iter().flat_map(Sheet::texts).find(|text| longer(text)) {
        let start: String = long.chars().take(40).collect();
        return Err(format!("a text is longer than a cell holds ({LONGEST} characters): {start}"));
    }
    bytes(sheets, decimals).map_err(|fault| fault.to_string())
}

/// Cells count UTF-16 units.
fn longer(text: &str) -> bool {
    text.encode_utf16().count() > LONGEST
}

fn bytes(sheets: &[Sheet], decimals: u32) -> Result<Vec<u8>, XlsxError> {
    let mut book = Workbook::new();
    let (year, month, day) = MADE;
    let made = ExcelDateTime::from_ymd(year, month, day)?;
    let title = DocProperties::new().set_title("What to buy, and what it costs");
    book.set_properties(&title.set_creation_datetime(&made));
    let decimals = usize::try_from(decimals.min(6)).unwrap_or(2);
    let point = if decimals == 0 { "" } else { "." };
    let looks = Looks {
        head: Format::new().set_bold().set_text_wrap().set_align(FormatAlign::Top),
        warning: Format::new().set_bold(),
        plain: Format::new().set_align(FormatAlign::Top),
        money: Format::new().set_num_format(format!("0{point}{}", "0".repeat(decimals))),
    };
    for sheet in sheets {
        write(book.add_worksheet(), sheet, &looks)?;
    }
    book.save_to_buffer()
}

fn write(page: &mut Worksheet, sheet: &Sheet, looks: &Looks) -> Result<(), XlsxError> {
    page.set_name(sheet.name)?;
    page.set_freeze_panes(1, 0)?;
    for (column, (head, width)) in (0_u16..).zip(&sheet.columns) {
        page.write_string_with_format(0, column, head, &looks.head)?;
        page.set_column_width(column, *width)?;
    }
    let marked = sheet.warnings.iter().map(|row| (row, &looks.warning));
    let rows = marked.chain(sheet.rows.iter().map(|row| (row, &looks.plain)));
    for (number, (row, look)) in (1_u32..).zip(rows) {
        for (column, cell) in (0_u16..).zip(row) {
            match cell {
                Cell::Empty => {}
                Cell::Text(text) => {
                    page.write_string_with_format(number, column, text, look)?;
                }
                Cell::Number(figure) => {
                    page.write_number_with_format(number, column, *figure, look)?;
                }
                Cell::Money(figure) => {
                    page.write_number_with_format(number, column, *figure, &looks.money)?;
                }
            }
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sheet(text: &str) -> Sheet {
        Sheet {
            name: "one",
            columns: vec![("what".to_owned(), 20.0)],
            warnings: Vec::new(),
            rows: vec![vec![Cell::Text(text.to_owned())]],
        }
    }

    #[test]
    fn a_text_too_long_for_a_cell_is_refused_and_the_longest_is_not() {
        assert!(written(&[sheet(&"a".repeat(LONGEST))], 2).is_ok());
        let why = written(&[sheet(&"a".repeat(LONGEST + 1))], 2).map(|_| ());
        assert!(why.is_err_and(|why| why.contains("32767 characters")));
    }

    /// Bytes 0 to 3 of a ZIP archive (APPNOTE 4.3.7), and nothing in it that depends on when.
    #[test]
    fn the_same_sheets_give_the_same_bytes() {
        let once = written(&[sheet("=1+1")], 2);
        let again = written(&[sheet("=1+1")], 2);
        assert!(once.as_ref().is_ok_and(|bytes| bytes.starts_with(b"PK\x03\x04")));
        assert_eq!(once, again);
    }
}
