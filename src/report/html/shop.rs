//! The page for the shop: job cards, mix cards, cut list, timetable, quote.

use maud::{Markup, html};

use super::super::{text_drying, text_hours, text_opened, text_safety};
use super::cards::{self, Card};
use super::say::Say;
use super::{Part, Pictures, cut, front, money, order, repairs, time};

pub(super) fn sections(say: &Say<'_>, pictures: &Pictures) -> Vec<Part> {
    let report = say.report;
    let mut parts: Vec<Part> = front::before(say).into_iter().collect();
    parts.extend([
        Part::new(
            "jobs",
            "The job at a glance",
            html! {
                (repairs::put_right(say))
                (repairs::overview(say, true))
                (time::hours(say))
            },
        ),
        Part::new("shop", "This shop, step by step", time::gates(say)),
        Part::new(
            "pictures",
            "Where it is",
            html! {
                (cards::body(say, pictures))
                (cards::panels(say, pictures, Card::Short))
            },
        )
        .on_a_new_sheet(),
        Part::new("cards", "Job cards", repairs::each(say, true)).on_a_new_sheet(),
        Part::new("mix", "Mix cards", time::mix_cards(say)).on_a_new_sheet(),
        Part::new(
            "time",
            "Timetable, cure and air",
            html! {
                (time::plan(say, true))
                (time::cure_and_air(say, true))
            },
        )
        .on_a_new_sheet(),
        Part::new("cut", "Cut list", cut::list(say, pictures)).on_a_new_sheet(),
        Part::new(
            "list",
            "Materials and order",
            html! {
                (repairs::materials(say))
                (order::list(say))
            },
        ),
    ]);
    if report.drying.is_some() {
        parts.push(Part::new("drying", "Drying", say.told(text_drying::drying)));
    }
    if report.opened.is_some() {
        parts.push(Part::new(
            "opened",
            "Extra work after opening up",
            say.told(text_opened::opened),
        ));
    }
    parts.push(Part::new("quote", "Quote", quote(say)).on_a_new_sheet());
    parts.push(Part::new("cautions", "Cautions", say.told(text_safety::cautions)).on_a_new_sheet());
    parts.push(Part::new("practice", "Where practice disagrees", say.told(text_hours::conflicts)));
    parts
}

fn quote(say: &Say<'_>) -> Markup {
    html! {
        (money::range(say))
        (money::lines(say))
        (money::compared(say))
        h3 { "Agreed, to be filled in before work begins" }
        ul.told {
            li { "Finish that counts as done, and in which light it is judged: ____________________" }
            li { "Who is called before the limit is passed, and who may say yes: ____________________" }
            li { "What is warranted, and for how long; aftercare: ____________________" }
            li { "Marks that go to a specialist, and whatever they lead to, are not part of this quote." }
        }
        p.sign { "For the shop: ______________________  For the client: ______________________  Date: ______________" }
    }
}
