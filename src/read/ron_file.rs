//! RON text to one record, or the one fault of shape that stops the file.
//!
//! The format number is looked at before everything else: of a file written for a newer program
//! it helps nobody to hear that a field is unknown.

use serde::Deserialize;

use super::positions::DEEPEST;
use super::text::{Loaded, nearest, row_of};
use crate::diagnostic::{Diagnostic, TextPlace};
use crate::model::FORMAT;

/// Reads a record.
///
/// # Errors
/// The first fault of shape: empty, nested too deeply, format missing or newer, syntax, a field
/// or word that is unknown, missing or written twice, a value of the wrong kind.
pub fn parse<T>(file: &str, text: &str) -> Result<(T, Loaded), Diagnostic>
where
    T: for<'text> Deserialize<'text>,
{
    let loaded = Loaded::new(file, text);
    let record = record(&loaded)?;
    Ok((record, loaded))
}

/// Reads a record from a text that is already scanned.
///
/// # Errors
/// As [`parse`].
pub fn record<T>(loaded: &Loaded) -> Result<T, Diagnostic>
where
    T: for<'text> Deserialize<'text>,
{
    before_reading(loaded)?;
    let mut reader = match ron::Deserializer::from_str(&loaded.text) {
        Ok(reader) => reader,
        Err(error) => return Err(worded(loaded, "", &error)),
    };
    let record = match serde_path_to_error::deserialize(&mut reader) {
        Ok(record) => record,
        Err(error) => {
            let field = field_path(error.path());
            // The reader still stands where it stopped.
            return Err(worded(loaded, &field, &reader.span_error(error.into_inner())));
        }
    };
    match reader.end() {
        Ok(()) => Ok(record),
        Err(code) => Err(worded(loaded, "", &reader.span_error(code))),
    }
}

/// Tells what is wrong before the reader sees the text: empty, too deep, of a newer format.
///
/// # Errors
/// The fault that stops the file.
pub fn before_reading(loaded: &Loaded) -> Result<(), Diagnostic> {
    if loaded.positions.is_empty() {
        return Err(loaded.fault_at(
            None,
            "",
            "READ-EMPTY",
            "the file holds nothing",
            "a record in round brackets, such as (format: 1, ...)",
            "start from the files that `plymend new` writes",
        ));
    }
    if let Some(at) = loaded.positions.too_deep() {
        return Err(loaded.fault_at(
            Some(loaded.positions.place(&loaded.text, at)),
            "",
            "READ-NESTING",
            format!("brackets are nested more than {DEEPEST} deep"),
            format!("at most {DEEPEST}; no file of this program needs more than a dozen"),
            "look for brackets that are opened and never closed",
        ));
    }
    let Some(written) = loaded.written("format") else {
        if loaded.positions.outer_fields().next().is_some() {
            return Err(loaded.fault(
                "",
                "READ-FORMAT-MISSING",
                "the file does not say which format it is written in",
                format!("format: {FORMAT}"),
                format!("write `format: {FORMAT},` as its first field"),
            ));
        }
        return Ok(());
    };
    match written.trim().parse::<u64>() {
        Ok(format) if format > u64::from(FORMAT) => Err(loaded.fault(
            "format",
            "READ-FORMAT-NEWER",
            format!("the file is written in format {format}, which is newer than this program"),
            format!("format {FORMAT}"),
            "use a newer plymend, or write the file in the older format",
        )),
        Ok(0) => Err(loaded.fault(
            "format",
            "READ-FORMAT-MISSING",
            "there is no format 0",
            format!("format {FORMAT}"),
            format!("write `format: {FORMAT},`"),
        )),
        _ => Ok(()),
    }
}

/// The path as this program writes it: variants add no step.
fn field_path(path: &serde_path_to_error::Path) -> String {
    let mut written = String::new();
    for segment in path {
        match segment {
            serde_path_to_error::Segment::Seq { index } => {
                written.push_str(&format!("[{index}]"));
            }
            serde_path_to_error::Segment::Map { key } => {
                if !written.is_empty() {
                    written.push('.');
                }
                written.push_str(key);
            }
            serde_path_to_error::Segment::Enum { .. } | serde_path_to_error::Segment::Unknown => {}
        }
    }
    written
}

fn joined(path: &str, name: &str) -> String {
    if path.is_empty() { name.to_owned() } else { format!("{path}.{name}") }
}

fn worded(loaded: &Loaded, field: &str, error: &ron::error::SpannedError) -> Diagnostic {
    use ron::Error;

    let reader = TextPlace { line: error.span.start.line, column: error.span.start.col };
    let ends = TextPlace { line: error.span.end.line, column: error.span.end.col };
    // A value of the wrong kind is pointed at by its field; everything else by the reader.
    let value = loaded
        .positions
        .span(field)
        .filter(|_| !field.is_empty())
        .map(|(start, _)| loaded.positions.place(&loaded.text, start));
    let fault = |place, field: &str, code, problem: String, accepted: String, way_out: String| {
        loaded.fault_at(Some(place), field, code, problem, accepted, way_out)
    };
    let behind_the_end = loaded
        .positions
        .line_start(ends.line)
        .and_then(|start| loaded.text.get(start..))
        .is_none_or(|rest| rest.trim_end().chars().count() < ends.column);
    match &error.code {
        Error::NoSuchStructField { expected, found, .. } => fault(
            value.unwrap_or(reader),
            field,
            "READ-FIELD-UNKNOWN",
            format!("there is no field `{found}` here"),
            row_of(expected),
            match nearest(found, expected.iter().copied()) {
                Some(near) => format!("write `{near}` if that is meant, or take the field out"),
                None => "take the field out, or write it into a `note`".to_owned(),
            },
        ),
        Error::NoSuchEnumVariant { expected, found, .. } => fault(
            value.unwrap_or(reader),
            field,
            "READ-WORD-UNKNOWN",
            format!("the word `{found}` is not known here"),
            row_of(expected),
            match nearest(found, expected.iter().copied()) {
                Some(near) => format!("write `{near}` if that is meant"),
                None => "choose one of the accepted words".to_owned(),
            },
        ),
        Error::MissingStructField { field: missing, .. } => {
            let whole = joined(field, missing);
            let holder = loaded.positions.nearest(field);
            fault(
                holder.map_or(ends, |at| loaded.positions.place(&loaded.text, at)),
                &whole,
                "READ-FIELD-MISSING",
                format!("the field `{missing}` is missing"),
                format!("`{missing}: ...` within these brackets"),
                format!("add `{missing}`"),
            )
        }
        Error::DuplicateStructField { field: twice, .. } => fault(
            value.unwrap_or(reader),
            &joined(field, twice),
            "READ-FIELD-TWICE",
            format!("the field `{twice}` is written twice"),
            "each field once".to_owned(),
            "take one of them out".to_owned(),
        ),
        code if *code == Error::Eof || (behind_the_end && value.is_none()) => fault(
            ends,
            field,
            "READ-SYNTAX",
            "the file ends in the middle of a record".to_owned(),
            "every bracket and every text closed".to_owned(),
            "close what is open, or look for the place where a bracket is missing".to_owned(),
        ),
        Error::ExpectedComma
        | Error::ExpectedMapColon
        | Error::ExpectedArrayEnd
        | Error::ExpectedStructLikeEnd
        | Error::ExpectedOptionEnd
        | Error::ExpectedStringEnd
        | Error::ExpectedIdentifier
        | Error::UnclosedBlockComment
        | Error::UnexpectedChar(_)
        | Error::TrailingCharacters
        | Error::InvalidEscape(_)
        | Error::InvalidIdentifier(_)
        | Error::SuggestRawIdentifier(_)
        | Error::ExpectedAttribute
        | Error::ExpectedAttributeEnd
        | Error::NoSuchExtension(_) => fault(
            ends,
            field,
            "READ-SYNTAX",
            format!("the text cannot be read here: {}", lower_first(&error.code.to_string())),
            "`field: value` pairs with a comma between them, lists in [ ], records in ( )"
                .to_owned(),
            "look at this line and the one before for a missing comma, colon or bracket".to_owned(),
        ),
        other => fault(
            value.unwrap_or(ends),
            field,
            "READ-TYPE",
            match loaded.written(field).filter(|_| !field.is_empty()) {
                Some(written) => format!(
                    "found {}, which is not a value of the right kind",
                    written.chars().take(60).collect::<String>()
                ),
                None => "the value is not of the right kind".to_owned(),
            },
            kind_wanted(other),
            "write the value without quotes, brackets or a unit unless they are asked for"
                .to_owned(),
        ),
    }
}

/// What the reader wanted, in the words of this program.
fn kind_wanted(error: &ron::Error) -> String {
    use ron::Error;
    match error {
        Error::ExpectedFloat => "a number, such as 12.5".to_owned(),
        Error::ExpectedInteger | Error::IntegerOutOfBounds | Error::InvalidIntegerDigit { .. } => {
            "a whole number, such as 3".to_owned()
        }
        Error::ExpectedDifferentLength { found, .. } => {
            format!("as many values as are asked for; found {found}")
        }
        Error::ExpectedBoolean => "true or false".to_owned(),
        Error::ExpectedString => "a text in double quotes".to_owned(),
        Error::ExpectedArray => "a list in square brackets".to_owned(),
        Error::ExpectedStructLike | Error::ExpectedNamedStructLike(_) => {
            "a record in round brackets".to_owned()
        }
        other => lower_first(other.to_string().trim_start_matches("Expected ")),
    }
}

fn lower_first(text: &str) -> String {
    let mut signs = text.chars();
    signs.next().map(|first| first.to_lowercase().chain(signs).collect()).unwrap_or_default()
}

/// Names of the fields a record may have, as the record itself tells them.
#[must_use]
pub fn fields_of<T>() -> &'static [&'static str]
where
    T: for<'text> Deserialize<'text>,
{
    match ron::from_str::<T>("(a_field_that_nobody_has: 0)").map_err(|error| error.code) {
        Err(ron::Error::NoSuchStructField { expected, .. }) => expected,
        _ => &[],
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::shop::Shop;
    use crate::model::survey::Survey;

    fn fault(text: &str) -> String {
        parse::<Survey>("survey.ron", text).unwrap_err().to_string()
    }

    #[test]
    fn faults_of_shape_name_their_field() {
        let texts = [
            "(format: 1, marks: [(id: 1, panel: \"lid\", kind: chip, sise: 3)])",
            "(format: 1, marks: [(id: 1, panel: \"lid\", kind: chop)])",
            "(format: 1, marks: [(id: 1, kind: chip)])",
            "(format: 1,\n marks: [(id: 1, panel: 7, kind: chip)])",
            "(format: 1, marks: [(id: 1, panel: \"lid\", kind: chip, shape: Spot(diameter_mm: \"5\"))])",
            "(format: 1, marks: [(id: 1, panel: \"lid\", kind: chip, shape: Spot(diametre_mm: 5))])",
            "(format: 1, air_c: 5, air_c: 6)",
            "(format: 1, air_c: 5 panels: [])",
            "(format: 1, marks: [",
            "(format: 1, marks: [(id: -1, panel: \"lid\", kind: chip)])",
            "(format: 1, marks: [(id: 1, panel: \"lid\", kind: chip, place: On(5))])",
            "(format: 1) more",
            "hello",
            "// nothing\n",
            "(air_c: 5)",
            "(format: 2, wonders: [])",
            "(format: one)",
        ];
        insta::assert_snapshot!(texts.map(fault).join("\n"));
    }

    #[test]
    fn deep_nesting_is_refused_before_it_is_read() {
        let text = format!("(format: 1, note: {}", "[".repeat(200_000));
        assert_eq!(parse::<Survey>("survey.ron", &text).unwrap_err().code, "READ-NESTING");
    }

    #[test]
    fn a_byte_order_mark_is_no_fault() {
        let text = "\u{feff}(format: 1, day_c: 20, night_c: 15)";
        let (shop, _) = parse::<Shop>("shop.ron", text).unwrap();
        assert!((shop.day_c.unwrap().value() - 20.0).abs() < f64::EPSILON);
    }

    #[test]
    fn a_record_tells_its_fields() {
        assert!(fields_of::<Shop>().contains(&"day_c"));
        assert!(fields_of::<Survey>().contains(&"marks"));
    }

    proptest::proptest! {
        #[test]
        fn any_text_is_read_or_refused(text in "[(){}\\[\\],:\"'/*a-z_0-9.-]*") {
            let _ = parse::<Survey>("survey.ron", &text);
        }
    }
}
