//! Pages of HTML: whom they are for, what they escape, and that every figure leads somewhere.
#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "what a test cannot set up has to fail it"
)]

use std::collections::BTreeSet;

use plymend::read::job::{Named, TextFolder, job};
use plymend::report::html::Reader;
use plymend::report::imperial::Units;

const READERS: [Reader; 3] = [Reader::Owner, Reader::Inspector, Reader::Shop];
const SHEET: &str = "(format: 1, name: \"sheet\", surface: Flat(length_mm: 1200, width_mm: 800),
    laminate: (thickness_mm: 3), material: hand_laid_polyester, roles: [opens], back: reached,
    fixings: Listed([(name: \"hinge <b>\", at: (1100, 700), carries: hinge, state: sound)]))";
const HOLE: &str = "(id: 1, panel: \"sheet\", kind: hole, edges_move: no, place: On(300, 300),
    cause: Closed(what: \"a kerb\"), shape: Patch(length_mm: 120, width_mm: 60, angle_deg: 15))";
/// At the hinge: it never comes into a list of what is done.
const REFERRED: &str = "(id: 2, panel: \"sheet\", kind: crack_at_fixing, place: On(1080, 660),
    shape: Line(length_mm: 60, direction: Angle(0)), note: \"<i>note</i> & 'more'\")";

fn page(marks: &[&str], head: &str, reader: Reader, units: Units) -> String {
    let survey = format!(
        "(format: 1, air_c: 20, humidity_percent: 55, {head} topcoat: brush_enamel, underseal: none_there,
          old_paint: Clear(by: \"a laboratory\", date: \"May\"),
          panels: [(name: \"sheet\", file: \"sheet.ron\")], marks: [{}])",
        marks.join(",\n")
    );
    let folder = TextFolder::from([("survey.ron", survey.as_str()), ("sheet.ron", SHEET)]);
    let job = job(&folder, "survey.ron", &Named::default())
        .unwrap_or_else(|faults| panic!("{faults:#?}"));
    plymend::page(&job, Vec::new(), reader, &units)
        .unwrap_or_else(|faults| panic!("{faults:#?}"))
        .html
}

fn both(reader: Reader) -> String {
    page(&[HOLE, REFERRED], "client: \"<script>x</script>\",", reader, Units::Metric)
}

/// Values of an attribute, in order.
fn values(html: &str, attribute: &str) -> Vec<String> {
    let mark = format!(" {attribute}=\"");
    html.split(&mark)
        .skip(1)
        .map(|rest| rest.split('"').next().unwrap_or_default().to_owned())
        .collect()
}

#[test]
fn every_link_has_its_target_and_every_id_is_there_once() {
    for reader in READERS {
        let html = both(reader);
        let ids = values(&html, "id");
        let known: BTreeSet<&String> = ids.iter().collect();
        assert_eq!(known.len(), ids.len(), "{reader:?}");
        let links = values(&html, "href");
        assert!(links.len() > 60, "{reader:?}: {}", links.len());
        for link in links {
            let target = link.strip_prefix('#').expect("a link inside the page").to_owned();
            assert!(known.contains(&target), "{reader:?}: {link} leads nowhere");
        }
    }
}

#[test]
fn texts_of_the_user_are_text() {
    for reader in READERS {
        let html = both(reader);
        for raw in ["<script", "<i>note", "hinge <b>", "</script"] {
            assert!(!html.contains(raw), "{reader:?}: {raw}");
        }
        assert!(html.contains("&lt;script&gt;x&lt;/script&gt;"), "{reader:?}");
        assert!(html.contains("hinge &lt;b&gt;"), "{reader:?}");
    }
    // A rule's name in a note is a link and nothing else; a quotation mark ends no attribute.
    let html =
        page(&[HOLE], "purpose: \"CAUSE-FIRST \\\" onclick=1\",", Reader::Owner, Units::Metric);
    assert!(html.contains("CAUSE-FIRST &quot; onclick=1"));
}

#[test]
fn nothing_is_fetched_and_nothing_runs() {
    for reader in READERS {
        let html = both(reader);
        for word in
            ["http://", "https://", "<script", "<link", "@import", "url(", " src=\"/", "onload"]
        {
            let found: Vec<&str> = html
                .match_indices(word)
                .map(|(at, _)| &html[at..(at + 60).min(html.len())])
                .collect();
            let outside =
                found.iter().filter(|one| !one.starts_with("http://www.w3.org/2000/svg")).count();
            assert_eq!(outside, 0, "{reader:?}: {found:?}");
        }
        assert!(html.contains("default-src 'none'"), "{reader:?}");
    }
}

#[test]
fn each_reader_is_shown_what_the_page_says_only_he_is() {
    let own = [
        (Reader::Owner, ["questions", "turns"]),
        (Reader::Inspector, ["coverage", "entries"]),
        (Reader::Shop, ["cards", "cut"]),
    ];
    let pages: Vec<(Reader, String)> = READERS.into_iter().map(|one| (one, both(one))).collect();
    for (owner, ids) in own {
        for id in ids {
            for (reader, html) in &pages {
                let there = html.contains(&format!("<section id=\"{id}\""))
                    || html.contains(&format!("<section class=\"sheet\" id=\"{id}\""))
                    || html.contains(&format!(" id=\"{id}\""));
                assert_eq!(there, *reader == owner, "{id} on the page for {reader:?}");
            }
        }
    }
    for (reader, html) in &pages {
        assert!(html.contains(reader.only_here()), "{reader:?}");
        for other in READERS.iter().filter(|other| *other != reader) {
            assert!(html.contains(other.only_here()), "{reader:?} says nothing of {other:?}");
        }
    }
}

#[test]
fn stops_and_exclusions_stand_in_the_head_of_every_printed_page() {
    for reader in READERS {
        let html = both(reader);
        let head = html.split("<tbody>").next().unwrap();
        assert!(head.contains("do not drive: the sheet"), "{reader:?}");
        assert!(head.contains("In no figure: mark 2"), "{reader:?}");
        let body = html.split("<tbody>").nth(1).unwrap();
        assert!(body.contains("do not drive: the sheet"), "{reader:?}");
        // Without a stop the page says that it is no test either.
        let calm = page(&[HOLE], "", reader, Units::Metric);
        let head = calm.split("<tbody>").next().unwrap();
        assert!(
            head.contains("No stop is recorded; that is no roadworthiness test."),
            "{reader:?}"
        );
    }
}

#[test]
fn a_referred_mark_is_in_no_job_card_and_no_list() {
    for reader in READERS {
        let html = page(&[REFERRED], "", reader, Units::Metric);
        assert!(!html.contains("id=\"repair-"), "{reader:?}");
        assert!(!html.contains("class=\"steps\""), "{reader:?}");
        assert!(html.contains("Goes to a specialist"), "{reader:?}");
    }
}

#[test]
fn the_entry_stands_on_every_page_as_it_was_written() {
    for reader in READERS {
        let html = both(reader);
        // The first line of the entry, and the second with its own indent.
        assert!(
            html.contains("(id: 1, panel: &quot;sheet&quot;, kind: hole, edges_move: no"),
            "{reader:?}"
        );
        assert!(html.contains("\n    cause: Closed(what: &quot;a kerb&quot;)"), "{reader:?}");
        assert!(html.contains("survey.ron, line"), "{reader:?}");
    }
}

#[test]
fn the_same_job_gives_the_same_bytes() {
    for reader in READERS {
        assert_eq!(both(reader), both(reader), "{reader:?}");
    }
}

/// A page of what changed between two surveys, one of them with a note that tries to be markup.
#[test]
fn a_comparison_escapes_leads_somewhere_and_says_what_is_new_first() {
    let survey = |on: &str, marks: &str| {
        format!(
            "(format: 1, on: {on:?}, air_c: 20, client: \"<b>x</b>\", light: \"<i>lamp</i>\",
              panels: [(name: \"sheet\", file: \"sheet.ron\")], marks: [{marks}])"
        )
    };
    let first = survey("2024-05-01", HOLE);
    let second = survey("2025-05-01", &format!("{HOLE}, {REFERRED}"));
    let read = |text: &str| {
        let folder = TextFolder::from([("survey.ron", text), ("sheet.ron", SHEET)]);
        job(&folder, "survey.ron", &Named::default()).unwrap_or_else(|f| panic!("{f:#?}"))
    };
    let (then, now) = (read(&first), read(&second));
    let (found, html) = plymend::compare_page(&then, &now).unwrap_or_else(|f| panic!("{f:#?}"));
    assert_eq!(found.counts.new, 1);
    for raw in ["<i>lamp", "hinge <b>"] {
        assert!(!html.contains(raw), "{raw}");
    }
    assert!(html.contains("&lt;i&gt;lamp&lt;/i&gt;"));
    let ids = values(&html, "id");
    let known: BTreeSet<&String> = ids.iter().collect();
    assert_eq!(known.len(), ids.len());
    for link in values(&html, "href") {
        assert!(known.contains(&link[1..].to_owned()), "{link} leads nowhere");
    }
    let new = html.find("NEW: ").expect("a new stop or referral");
    assert!(new < html.find("id=\"marks\"").expect("the marks"));
    assert!(html.contains("2: new"), "the map names what became of the mark");
    let again = plymend::compare_page(&then, &now).unwrap_or_else(|f| panic!("{f:#?}")).1;
    assert_eq!(html, again);
}

/// A crack that grows by 40 mm a year: three dates in like conditions give the rate, another light
/// gives none.
#[test]
fn a_history_draws_what_was_read_and_a_rate_only_where_there_is_one() {
    let survey = |on: &str, mm: u32, light: &str| {
        let text = format!(
            "(format: 1, on: {on:?}, light: {light:?}, cleaning: \"washed\", people: two,
              panels: [(name: \"sheet\", file: \"sheet.ron\")],
              marks: [(id: 7, panel: \"sheet\", kind: gel_crack, depth: gel, edges_move: no, place: On(400, 300),
                       shape: Line(length_mm: {mm}, direction: Angle(0)))])"
        );
        let folder = TextFolder::from([("survey.ron", text.as_str()), ("sheet.ron", SHEET)]);
        job(&folder, "survey.ron", &Named::default()).unwrap_or_else(|f| panic!("{f:#?}"))
    };
    let drawn = |light: &str| {
        let jobs = [
            survey("2023-06-01", 80, "<b>lamp</b>"),
            survey("2024-06-01", 120, "<b>lamp</b>"),
            survey("2025-06-01", 160, light),
        ];
        let found = plymend::history(&jobs).unwrap_or_else(|f| panic!("{f:#?}"));
        plymend::report::html::history_page(&found)
    };
    let (alike, other) = (drawn("<b>lamp</b>"), drawn("daylight"));
    for html in [&alike, &other] {
        assert!(!html.contains("<b>lamp"));
        assert_eq!(html.matches("<circle").count(), 3, "one ring a reading");
        for link in values(html, "href") {
            assert!(html.contains(&format!("id=\"{}\"", &link[1..])), "{link} leads nowhere");
        }
    }
    assert!(alike.contains("The broken line: +40 mm a year"), "{alike}");
    assert!(other.contains("No rate: ") && !other.contains("The broken line"));
}
