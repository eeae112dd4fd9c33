//! The SHA-256 of every file that an answer was made from.

use sha2::{Digest, Sha256};

/// A file that was read, with the fingerprint of its bytes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FileRead {
    /// Its name as it stands in answers: its path, or `built in:` and a name.
    pub name: String,
    /// SHA-256 of its bytes, hexadecimal in small letters.
    pub sha256: String,
}

impl FileRead {
    /// The fingerprint of the bytes of a file.
    #[must_use]
    pub fn of(name: &str, bytes: &[u8]) -> Self {
        Self { name: name.to_owned(), sha256: sha256(bytes) }
    }
}

/// SHA-256 (FIPS 180-4) of some bytes, 64 hexadecimal digits in small letters.
#[must_use]
pub fn sha256(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The one-block and two-block messages are the examples of NIST's "Examples with Intermediate
    /// Values" for SHA-256; the empty one is in the response files of its validation suite (SHAVS,
    /// SHA256ShortMsg, Len = 0).
    #[test]
    fn published_messages_have_their_published_digests() {
        let published = [
            ("", "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"),
            ("abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"),
            (
                "abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
                "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
            ),
        ];
        for (message, digest) in published {
            assert_eq!(sha256(message.as_bytes()), digest, "{message:?}");
        }
        // The same source: a million times the letter a.
        assert_eq!(
            sha256(&vec![b'a'; 1_000_000]),
            "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0"
        );
    }

    #[test]
    fn any_changed_byte_changes_the_digest() {
        let text = b"(format: 1, marks: [])".to_vec();
        let before = sha256(&text);
        for at in 0..text.len() {
            let mut changed = text.clone();
            changed[at] ^= 1;
            assert_ne!(sha256(&changed), before, "byte {at}");
        }
    }
}
