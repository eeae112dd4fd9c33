//! One pass over a RON text that notes where every value stands.

use super::positions::{DEEPEST, Positions, Step, Value};

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

/// One pass over a text.
pub(super) struct Scan<'t> {
    text: &'t str,
    bytes: &'t [u8],
    at: usize,
    levels: Vec<Level>,
    pub(super) found: Positions,
    after_word: bool,
}

impl<'t> Scan<'t> {
    pub(super) fn new(text: &'t str) -> Self {
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

    pub(super) fn run(&mut self) {
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
