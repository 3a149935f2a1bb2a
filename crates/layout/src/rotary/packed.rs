//! How many of each of a few kinds, packed into one number: seven bits for each, and one to guard.

/// More kinds, or more of one kind, cannot be packed.
pub(crate) const MOST_KINDS: usize = 16;
pub(crate) const MOST_OF_A_KIND: u32 = 127;

const GUARDS: u128 = 0x8080_8080_8080_8080_8080_8080_8080_8080;

/// Packs numbers; none when there are too many.
pub(crate) fn pack(numbers: &[u32]) -> Option<u128> {
    let fits = numbers.len() <= MOST_KINDS && numbers.iter().all(|&one| one <= MOST_OF_A_KIND);
    fits.then(|| {
        numbers.iter().enumerate().fold(0, |all, (kind, &one)| all | u128::from(one) << (8 * kind))
    })
}

/// One of a kind.
pub(crate) const fn one(kind: usize) -> u128 {
    1 << (8 * kind)
}

/// How many of a kind there are.
pub(crate) const fn of(packed: u128, kind: usize) -> u32 {
    ((packed >> (8 * kind)) & 0x7f) as u32
}

/// The lesser of the numbers of each kind.
pub(crate) const fn least(one: u128, other: u128) -> u128 {
    let not_less = ((other | GUARDS) - one) & GUARDS;
    let mask = (not_less >> 7) * 0xff;
    one & mask | other & !mask
}

/// The first kind of which there is one; the number must not be zero.
pub(crate) const fn first(packed: u128) -> usize {
    packed.trailing_zeros() as usize / 8
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_packed_and_compared() {
        let (a, b) = ([3, 0, 127, 5, 1], [2, 7, 127, 0, 127]);
        let (packed, other) = (pack(&a).unwrap(), pack(&b).unwrap());
        let lesser: Vec<_> = (0..5).map(|kind| of(least(packed, other), kind)).collect();
        assert_eq!(lesser, [2, 0, 127, 0, 1]);
        assert_eq!(least(packed, other), least(other, packed));
        assert_eq!((first(packed), first(packed - one(0) * 3)), (0, 2));
        assert_eq!((pack(&[128]), pack(&[0; 17])), (None, None));
    }
}
