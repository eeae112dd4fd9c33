//! The frame of every page: what a browser is told first, and the table that printing repeats the
//! head and the foot of.

use maud::{DOCTYPE, Markup, PreEscaped, html};

/// Looks of the page, printed and on screens down to 360 px.
const STYLE: &str = include_str!("style.css");

/// What stands in the frame.
pub(super) struct Frame {
    /// The title of the window.
    pub(super) title: String,
    /// Small, on every printed page: what must not be done and what is left out.
    pub(super) every: Markup,
    /// Small, at the foot of every printed page: for whom it is and what it is not.
    pub(super) foot: Markup,
    /// Title and facts.
    pub(super) header: Markup,
    /// All else.
    pub(super) main: Markup,
}

impl Frame {
    /// The page, whole.
    pub(super) fn page(&self) -> String {
        let text = html! {
            (DOCTYPE)
            html lang="en-GB" {
                head {
                    meta charset="utf-8";
                    meta name="viewport" content="width=device-width, initial-scale=1";
                    // Nothing may be fetched, whatever a text of the user's tries.
                    meta http-equiv="Content-Security-Policy"
                        content="default-src 'none'; style-src 'unsafe-inline'; img-src data:";
                    title { (self.title) }
                    style { (PreEscaped(STYLE)) }
                }
                body {
                    a.skip href="#content" { "to the content" }
                    table.paper role="presentation" {
                        thead.every { tr { td { (self.every) } } }
                        tbody { tr { td {
                            (self.header)
                            main id="content" { (self.main) }
                        } } }
                        tfoot.every { tr { td { (self.foot) } } }
                    }
                }
            }
        };
        text.into_string()
    }
}

/// The foot of a page about several surveys.
pub(super) fn foot_of_several() -> Markup {
    html! {
        p.running { "For those for whom the surveys were made; nobody else may rely on it. Not a roadworthiness, structural or insurance approval." }
    }
}
