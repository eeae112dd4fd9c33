//! Decimal numbers out of bytes, quickly and exactly.
//!
//! A mantissa below 2^53 and a power of ten up to 22 are both exact as f64, so one multiplication
//! or division rounds once and gives the nearest number (Clinger, PLDI 1990; published). Anything
//! else goes the slow way.

const POWERS: [f64; 23] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16,
    1e17, 1e18, 1e19, 1e20, 1e21, 1e22,
];

/// A decimal number; nothing for a word, for NaN and for what is without limit.
pub(super) fn decimal(token: &[u8]) -> Option<f64> {
    let (negative, digits) = match token {
        [b'-', rest @ ..] => (true, rest),
        [b'+', rest @ ..] => (false, rest),
        _ => (false, token),
    };
    let mut mantissa = 0_u64;
    let mut scale = 0_i32;
    let mut seen = 0_usize;
    let mut point = false;
    let mut rest = digits;
    while let [byte, after @ ..] = rest {
        match byte {
            b'0'..=b'9' if seen < 18 => {
                mantissa = mantissa * 10 + u64::from(byte - b'0');
                seen += 1;
                scale -= i32::from(point);
            }
            b'.' if !point => point = true,
            b'e' | b'E' if seen > 0 => {
                scale += whole(after)?;
                rest = &[];
                break;
            }
            _ => return slow(token),
        }
        rest = after;
    }
    if seen == 0 || !rest.is_empty() || mantissa >= 1 << 53 {
        return slow(token);
    }
    let power = POWERS.get(scale.unsigned_abs() as usize);
    let Some(power) = power else { return slow(token) };
    let size = if scale < 0 { mantissa as f64 / power } else { mantissa as f64 * power };
    Some(if negative { -size } else { size })
}

fn slow(token: &[u8]) -> Option<f64> {
    let text = std::str::from_utf8(token).ok()?;
    // Words such as `nan` and `inf` would be read as numbers.
    let last = text.bytes().last()?;
    if !(last.is_ascii_digit() || last == b'.') {
        return None;
    }
    text.parse::<f64>().ok().filter(|number| number.is_finite())
}

fn whole(token: &[u8]) -> Option<i32> {
    integer(token).and_then(|number| i32::try_from(number).ok()).filter(|n| n.abs() < 10_000)
}

/// A whole number.
pub(super) fn integer(token: &[u8]) -> Option<i64> {
    let (negative, digits) = match token {
        [b'-', rest @ ..] => (true, rest),
        [b'+', rest @ ..] => (false, rest),
        _ => (false, token),
    };
    if digits.is_empty() || digits.len() > 18 {
        return None;
    }
    let mut number = 0_i64;
    for byte in digits {
        if !byte.is_ascii_digit() {
            return None;
        }
        number = number * 10 + i64::from(byte - b'0');
    }
    Some(if negative { -number } else { number })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_those_of_the_slow_way() {
        let mut seed = 1_u64;
        for round in 0..20_000 {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963);
            let number = f64::from((seed >> 32) as u32) / f64::from(1 + (round % 4099));
            for text in [format!("{number}"), format!("-{number:e}"), format!("{number:.5}")] {
                let truth: f64 = text.parse().unwrap();
                assert_eq!(decimal(text.as_bytes()).unwrap().to_bits(), truth.to_bits(), "{text}");
            }
        }
        for text in ["1e-30", "123456789012345678901234567890", ".5", "5.", "-0", "1E+2", "+3"] {
            assert_eq!(decimal(text.as_bytes()), text.parse().ok(), "{text}");
        }
    }

    #[test]
    fn words_are_no_numbers() {
        for text in ["", "-", ".", "nan", "inf", "-inf", "1e999", "1.2.3", "0x10", "1e", "e5"] {
            assert_eq!(decimal(text.as_bytes()), None, "{text}");
        }
        assert_eq!(integer(b"-12"), Some(-12));
        assert_eq!([integer(b""), integer(b"1.5"), integer(b"99999999999999999999")], [None; 3]);
    }
}
