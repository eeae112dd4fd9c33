use super::*;

fn value<'t>(text: &'t str, path: &str) -> Option<&'t str> {
    let (start, end) = Positions::of(text).span(path)?;
    text.get(start..end)
}

#[test]
fn finds_values_through_lists_records_and_variants() {
    let text = "(
        format: 1, // marks: [9]
        marks: [
            (id: 1, /* nested /* marks: */ comment */ shape: Line(length_mm: 12.5)),
            (id: 2, place: On(3, -4.0), shape: Traced(points: [On(1, 2), Step(mm: 5)])),
        ],
        fixings: Listed([(name: \"a, \\\" b: (\", at: (1, 2)), (name: r#\"c\"d\"#, at: (3, 4))]),
        depth: Glass( 1.5 ), sign: '\\'', other: '(', note: \"end\"
    )";
    let cases = [
        ("format", "1"),
        ("marks[0].shape", "Line(length_mm: 12.5)"),
        ("marks[0].shape.length_mm", "12.5"),
        ("marks[1].place[1]", "-4.0"),
        ("marks[1].shape.points[0][1]", "2"),
        ("marks[1].shape.points[1].mm", "5"),
        ("fixings[0].name", "\"a, \\\" b: (\""),
        ("fixings[1].name", "r#\"c\"d\"#"),
        ("fixings[1].at[1]", "4"),
        ("depth", "Glass( 1.5 )"),
        ("depth[0]", "1.5"),
        ("other", "'('"),
        ("note", "\"end\""),
    ];
    for (path, expected) in cases {
        assert_eq!(value(text, path), Some(expected), "{path}");
    }
    assert_eq!(value(text, "marks[2].id"), None);
    assert!(Positions::of(text).nearest("marks[2].id").is_some());
}

#[test]
fn lines_and_columns_count_characters() {
    let text = "(\n  näme: \"é\", size: 5)";
    let positions = Positions::of(text);
    let (start, _) = positions.span("size").unwrap();
    assert_eq!(positions.place(text, start), TextPlace { line: 2, column: 20 });
}

#[test]
fn deep_nesting_stops_the_scan() {
    assert_eq!(Positions::of(&"[".repeat(DEEPEST)).too_deep(), None);
    assert_eq!(Positions::of(&"[".repeat(100_000)).too_deep(), Some(DEEPEST));
}

proptest::proptest! {
    #[test]
    fn any_text_is_scanned(text in ".*") {
        let _ = Positions::of(&text);
    }

    #[test]
    fn any_heap_of_signs_is_scanned(text in "[(){}\\[\\],:\"'/*r#b\\\\a1é \n!]*") {
        let positions = Positions::of(&text);
        for value in &positions.values {
            proptest::prop_assert!(value.start < value.end && value.end <= text.len());
        }
    }
}
