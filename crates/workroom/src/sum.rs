//! A short number that changes with its bytes.

/// The number (FNV-1a): no secret, and no proof.
pub(crate) fn sum(bytes: &[u8]) -> u64 {
    bytes.iter().fold(0xcbf2_9ce4_8422_2325, |sum, byte| {
        (sum ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3)
    })
}

#[cfg(test)]
mod tests {
    use super::sum;

    /// The test vectors of draft-eastlake-fnv, appendix C (from memory).
    #[test]
    fn it_is_the_published_sum() {
        assert_eq!(sum(b""), 0xcbf2_9ce4_8422_2325);
        assert_eq!(sum(b"a"), 0xaf63_dc4c_8601_ec8c);
        assert_eq!(sum(b"foobar"), 0x8594_4171_f739_67e8);
    }
}
