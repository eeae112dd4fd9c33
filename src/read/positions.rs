//! Where in a text does the value of a field stand?
//!
//! Scans RON once, front to back, and remembers the place of every value by its field path, such
//! as `marks[3].shape.length_mm`. The scanner checks nothing and gives up on nothing: on broken
//! text it remembers what it could make out. Only nesting deeper than [`DEEPEST`] stops it.
//!
//! An enum variant adds no step to a path; the items in its brackets count as `[0]`, `[1]`. A
//! variant with a single item is looked through, so that the first fixing of `Listed([(..)])` is
//! `fixings[0]`.

use std::collections::BTreeMap;

use crate::diagnostic::TextPlace;

/// Brackets within brackets that are still read [choice: the deepest record needs nine].
pub const DEEPEST: usize = 64;

/// One step of a field path.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
enum Step {
    Field(String),
    Item(usize),
}

#[derive(Debug, Clone, Copy)]
struct Value {
    start: usize,
    end: usize,
    /// The single item of a variant in brackets, which paths look through.
    inside: Option<usize>,
}

/// The places of all values of one text.
#[derive(Debug, Clone, Default)]
pub struct Positions {
    values: Vec<Value>,
    steps: BTreeMap<(usize, Step), usize>,
    line_starts: Vec<usize>,
    too_deep: Option<usize>,
}

impl Positions {
    /// Scans a text.
    #[must_use]
    pub fn of(text: &str) -> Self {
        let mut scan = Scan::new(text);
        scan.run();
        let mut found = scan.found;
        found.line_starts = std::iter::once(0)
            .chain(
                text.bytes().enumerate().filter(|(_, sign)| *sign == b'\n').map(|(at, _)| at + 1),
            )
            .collect();
        found
    }

    /// Where the nesting became deeper than [`DEEPEST`], as a byte offset.
    #[must_use]
    pub const fn too_deep(&self) -> Option<usize> {
        self.too_deep
    }

    /// The text holds no value at all: it is empty, or comment only.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.values.is_empty()
    }

    /// Bytes from the first to behind the last of a field's value, when the field is written.
    #[must_use]
    pub fn span(&self, path: &str) -> Option<(usize, usize)> {
        match self.follow(path) {
            (value, true) => value.map(|value| (value.start, value.end)),
            (_, false) => None,
        }
    }

    /// First byte of a field's value or, where the field is not written, of the value that would
    /// hold it.
    #[must_use]
    pub fn nearest(&self, path: &str) -> Option<usize> {
        self.follow(path).0.map(|value| value.start)
    }

    /// Names of the fields of the outermost record, in alphabetical order.
    pub fn outer_fields(&self) -> impl Iterator<Item = &str> {
        self.steps.keys().filter_map(|(parent, step)| match step {
            Step::Field(name) if *parent == 0 => Some(name.as_str()),
            _ => None,
        })
    }

    /// Line and column of a byte offset.
    #[must_use]
    pub fn place(&self, text: &str, offset: usize) -> TextPlace {
        let line = self.line_starts.partition_point(|start| *start <= offset).max(1);
        let start = self.line_starts.get(line - 1).copied().unwrap_or(0);
        let column = text.get(start..offset).map_or(0, |before| before.chars().count()) + 1;
        TextPlace { line, column }
    }

    /// Byte offset of the start of a line, counted from 1.
    #[must_use]
    pub fn line_start(&self, line: usize) -> Option<usize> {
        self.line_starts.get(line.checked_sub(1)?).copied()
    }

    fn follow(&self, path: &str) -> (Option<Value>, bool) {
        let mut at = 0;
        let mut whole = true;
        for step in steps_of(path) {
            match self.child(at, &step) {
                Some(next) => at = next,
                None => {
                    whole = false;
                    break;
                }
            }
        }
        (self.values.get(at).copied(), whole)
    }

    fn child(&self, of: usize, step: &Step) -> Option<usize> {
        let mut deepest_first = vec![of];
        let mut at = of;
        while let Some(inside) = self.values.get(at).and_then(|value| value.inside) {
            deepest_first.push(inside);
            at = inside;
        }
        deepest_first
            .into_iter()
            .rev()
            .find_map(|parent| self.steps.get(&(parent, step.clone())).copied())
    }
}

fn steps_of(path: &str) -> Vec<Step> {
    path.split(['.', '['])
        .filter(|part| !part.is_empty())
        .map(|part| match part.strip_suffix(']').and_then(|number| number.parse().ok()) {
            Some(number) => Step::Item(number),
            None => Step::Field(part.to_owned()),
        })
        .collect()
}

/// An open bracket, or the text as a whole.
struct Level {
    /// The value whose brackets these are; none for the text as a whole.
    holder: Option<usize>,
    /// The value being read.
    current: Option<usize>,
    /// The name read before a colon.
    field: Option<String>,
    /// Items so far that have no name.
    items: usize,
    /// Some item has a name.
    named: bool,
    /// The brackets follow a word, as a variant's do.
    after_word: bool,
    /// The first item without a name.
    first_item: Option<usize>,
}

impl Level {
    const fn new(holder: Option<usize>, after_word: bool) -> Self {
        Self {
            holder,
            current: None,
            field: None,
            items: 0,
            named: false,
            after_word,
            first_item: None,
        }
    }
}

struct Scan<'t> {
    text: &'t str,
    bytes: &'t [u8],
    at: usize,
    levels: Vec<Level>,
    found: Positions,
    after_word: bool,
}

impl<'t> Scan<'t> {
    fn new(text: &'t str) -> Self {
        Self {
            text,
            bytes: text.as_bytes(),
            at: 0,
            levels: vec![Level::new(None, false)],
            found: Positions::default(),
            after_word: false,
        }
    }

    fn peek(&self, ahead: usize) -> Option<u8> {
        self.bytes.get(self.at + ahead).copied()
    }

    fn run(&mut self) {
        loop {
            self.skip_blank();
            let Some(sign) = self.peek(0) else { break };
            match sign {
                b'(' | b'[' | b'{' => {
                    if self.levels.len() > DEEPEST {
                        self.found.too_deep = Some(self.at);
                        return;
                    }
                    let after_word = self.after_word && sign == b'(';
                    self.begin_value();
                    let holder = self.levels.last().and_then(|level| level.current);
                    self.levels.push(Level::new(holder, after_word));
                    self.at += 1;
                    self.after_word = false;
                }
                b')' | b']' | b'}' => {
                    self.at += 1;
                    self.close();
                    self.after_word = false;
                }
                b',' => {
                    if let Some(level) = self.levels.last_mut() {
                        level.current = None;
                        level.field = None;
                    }
                    self.at += 1;
                    self.after_word = false;
                }
                b'#' if self.peek(1) == Some(b'!') => self.skip_past(b']'),
                _ => self.token(sign),
            }
        }
    }

    fn token(&mut self, sign: u8) {
        let start = self.at;
        let word = match sign {
            b'"' => {
                self.string();
                false
            }
            b'\'' => {
                self.sign_in_quotes();
                false
            }
            b'r' | b'b' if self.raw_or_byte_string() => false,
            _ if sign.is_ascii_alphabetic() || sign == b'_' => {
                if sign == b'r' && self.peek(1) == Some(b'#') {
                    self.at += 2;
                }
                self.skip_while(|sign| sign.is_ascii_alphanumeric() || b"_.+-".contains(&sign));
                true
            }
            _ => {
                self.at += 1;
                self.skip_while(|sign| {
                    !sign.is_ascii_whitespace() && !b"()[]{},:\"'/".contains(&sign)
                });
                false
            }
        };
        if word && self.name_of_field(start) {
            self.after_word = false;
            return;
        }
        let end = self.at;
        self.at = start;
        self.begin_value();
        self.at = end;
        self.reach(end);
        self.after_word = word;
    }

    /// Takes the word as the name of a field when a colon follows it.
    fn name_of_field(&mut self, start: usize) -> bool {
        let end = self.at;
        if self.levels.last().is_none_or(|level| level.current.is_some() || level.holder.is_none())
        {
            return false;
        }
        self.skip_blank();
        if self.peek(0) == Some(b':') {
            self.at += 1;
            let name = self.text.get(start..end).unwrap_or_default().to_owned();
            if let Some(level) = self.levels.last_mut() {
                level.field = Some(name);
                level.named = true;
            }
            true
        } else {
            self.at = end;
            false
        }
    }

    fn begin_value(&mut self) {
        let at = self.at;
        let Some(level) = self.levels.last_mut() else { return };
        if level.current.is_some() {
            return;
        }
        let number = self.found.values.len();
        if let Some(holder) = level.holder {
            let step = match level.field.take() {
                Some(name) => Step::Field(name),
                None => {
                    level.first_item.get_or_insert(number);
                    level.items += 1;
                    Step::Item(level.items - 1)
                }
            };
            // Of a field written twice the second is the one that is pointed at.
            self.found.steps.insert((holder, step), number);
        } else if number > 0 {
            // Text behind the outermost value belongs to nothing.
            return;
        }
        level.current = Some(number);
        self.found.values.push(Value { start: at, end: at + 1, inside: None });
    }

    /// The value being read ends here, or later.
    fn reach(&mut self, end: usize) {
        let current = self.levels.last().and_then(|level| level.current);
        if let Some(value) = current.and_then(|number| self.found.values.get_mut(number)) {
            value.end = end;
        }
    }

    fn close(&mut self) {
        // The text as a whole stays open whatever stray brackets it holds.
        if self.levels.len() < 2 {
            return;
        }
        if let Some(level) = self.levels.pop()
            && level.after_word
            && level.items == 1
            && !level.named
            && let Some(holder) = level.holder.and_then(|number| self.found.values.get_mut(number))
        {
            holder.inside = level.first_item;
        }
        self.reach(self.at);
    }

    fn skip_blank(&mut self) {
        loop {
            self.skip_while(|sign| sign.is_ascii_whitespace());
            match (self.peek(0), self.peek(1)) {
                (Some(b'/'), Some(b'/')) => self.skip_while(|sign| sign != b'\n'),
                (Some(b'/'), Some(b'*')) => self.skip_comment(),
                _ => return,
            }
        }
    }

    fn skip_comment(&mut self) {
        let mut open = 0_usize;
        while self.at < self.bytes.len() {
            match (self.peek(0), self.peek(1)) {
                (Some(b'/'), Some(b'*')) => {
                    open += 1;
                    self.at += 2;
                }
                (Some(b'*'), Some(b'/')) => {
                    open -= 1;
                    self.at += 2;
                    if open == 0 {
                        return;
                    }
                }
                _ => self.at += 1,
            }
        }
    }

    fn skip_while(&mut self, accept: impl Fn(u8) -> bool) {
        while self.peek(0).is_some_and(&accept) {
            self.at += 1;
        }
    }

    fn skip_past(&mut self, last: u8) {
        self.skip_while(|sign| sign != last);
        self.at = (self.at + 1).min(self.bytes.len());
    }

    fn string(&mut self) {
        self.at += 1;
        while let Some(sign) = self.peek(0) {
            self.at += 1;
            match sign {
                b'"' => return,
                b'\\' => self.at += 1,
                _ => {}
            }
        }
        self.at = self.at.min(self.bytes.len());
    }

    /// A sign in single quotes; a lone quote is stepped over by itself.
    fn sign_in_quotes(&mut self) {
        let rest = self.bytes.get(self.at + 1..).unwrap_or_default();
        let longest = rest.len().min(12);
        let escaped = rest.first() == Some(&b'\\');
        let from = usize::from(escaped) * 2;
        let closing = rest
            .get(from..longest)
            .and_then(|signs| signs.iter().position(|sign| *sign == b'\''))
            .filter(|place| escaped || *place > 0 || rest.get(1) == Some(&b'\''));
        self.at += closing.map_or(1, |place| place + from + 2);
        self.at = self.at.min(self.bytes.len());
    }

    /// Steps over `r"..."`, `r#"..."#`, `b"..."` and `br#"..."#`; says whether there was one.
    fn raw_or_byte_string(&mut self) -> bool {
        let prefix = match (self.peek(0), self.peek(1)) {
            (Some(b'b'), Some(b'r')) => 2,
            _ => 1,
        };
        let raw = prefix == 2 || self.peek(0) == Some(b'r');
        let mut hashes = 0;
        while raw && self.peek(prefix + hashes) == Some(b'#') {
            hashes += 1;
        }
        if self.peek(prefix + hashes) != Some(b'"') {
            return false;
        }
        self.at += prefix + hashes;
        if !raw {
            self.string();
            return true;
        }
        self.at += 1;
        while let Some(sign) = self.peek(0) {
            self.at += 1;
            if sign == b'"' && (0..hashes).all(|ahead| self.peek(ahead) == Some(b'#')) {
                self.at += hashes;
                break;
            }
        }
        true
    }
}

#[cfg(test)]
#[path = "positions_tests.rs"]
mod tests;
