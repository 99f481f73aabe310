//! Branch-free minimum and maximum, and a small sort.
//!
//! Every call of the standard sort is compiled on its own for its type, some 6 kB each in the page,
//! to be fast on lists far longer than any here.

/// The larger of two numbers, in the form that compiles to one instruction.
#[inline(always)]
pub(crate) fn larger(a: f32, b: f32) -> f32 {
    if a > b { a } else { b }
}

/// The smaller of two numbers, in the form that compiles to one instruction.
#[inline(always)]
pub(crate) fn smaller(a: f32, b: f32) -> f32 {
    if a < b { a } else { b }
}

/// The greatest of many numbers, 0 at least.
pub(crate) fn greatest(numbers: &[f32]) -> f32 {
    // Side by side, so that none waits for another.
    let (wide, rest) = numbers.as_chunks::<4>();
    let mut greatest = [0.0; 4];
    for part in wide {
        for (greatest, &number) in greatest.iter_mut().zip(part) {
            *greatest = larger(number, *greatest);
        }
    }
    greatest.iter().chain(rest).fold(0.0, |a, &b| larger(b, a))
}

/// Steps of a Shell sort (Ciura, "Best increments for the average case of Shellsort", 2001), widest
/// first; beyond his 701 each is 2.25 times the one after it, as is customary.
const STEPS: [usize; 12] = [17_961, 7_983, 3_548, 1_577, 701, 301, 132, 57, 23, 10, 4, 1];

/// Sorts by a key that is a number, smallest first. Made for some thousand entries at most; equal
/// ones end up in an order that depends on nothing but the list.
pub(crate) fn ascending<T: Copy, K: PartialOrd>(items: &mut [T], key: impl Fn(&T) -> K) {
    for step in STEPS {
        for from in step..items.len() {
            let item = items[from];
            let mut at = from;
            while at >= step && key(&items[at - step]) > key(&item) {
                items[at] = items[at - step];
                at -= step;
            }
            items[at] = item;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::ascending;

    #[test]
    fn lists_of_any_length_come_out_in_order() {
        for length in [0_u32, 1, 2, 5, 40, 700, 5000] {
            let mut list: Vec<(f32, u32)> = (0..length)
                .map(|i| ((i.wrapping_mul(2_654_435_761) >> 20) as f32 - 2000.0, i))
                .collect();
            let mut sorted = list.clone();
            sorted.sort_by(|a, b| a.0.total_cmp(&b.0));
            ascending(&mut list, |entry| entry.0);
            let keys = |list: &[(f32, u32)]| list.iter().map(|entry| entry.0).collect::<Vec<_>>();
            assert_eq!(keys(&list), keys(&sorted), "the keys of {length} entries");
            let sum =
                |list: &[(f32, u32)]| list.iter().map(|entry| u64::from(entry.1)).sum::<u64>();
            assert_eq!(sum(&list), sum(&sorted), "every one of {length} entries is kept");
        }
    }
}
