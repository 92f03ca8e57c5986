//! Tells whether a file is still the one that was read or written.

/// Length and a 64-bit hash of a file's content.
///
/// It notices another program's edit, not an attack: whoever can write the file can also change
/// the project openly, so a cryptographic hash would protect nothing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Fingerprint {
    length: u64,
    hash: u64,
}

impl Fingerprint {
    /// The fingerprint of this content.
    #[must_use]
    pub fn of(content: &[u8]) -> Self {
        // FNV-1a, 64 bits: the same on every run and machine, unlike the standard hasher.
        let hash = content.iter().fold(0xcbf2_9ce4_8422_2325_u64, |h, b| {
            (h ^ u64::from(*b)).wrapping_mul(0x0000_0100_0000_01b3)
        });
        Self { length: u64::try_from(content.len()).unwrap_or(u64::MAX), hash }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn known_values_and_differences() {
        assert_eq!(Fingerprint::of(b"").hash, 0xcbf2_9ce4_8422_2325);
        assert_eq!(Fingerprint::of(b"a").hash, 0xaf63_dc4c_8601_ec8c, "published FNV-1a value");
        assert_ne!(Fingerprint::of(b"12"), Fingerprint::of(b"21"));
        assert_ne!(Fingerprint::of(b"\0"), Fingerprint::of(b"\0\0"));
    }
}
