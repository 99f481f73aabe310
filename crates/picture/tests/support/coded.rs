//! What must hold for any bytes at all as the small picture of a link. The fuzzer calls this (see `fuzz/`), and so does
//! the test that replays what it found.

use picture::miniature::Miniature;

/// Bytes as a plan's number of values, and the small picture that comes with it.
pub(crate) fn miniature(bytes: &[u8]) {
    let Some((values, code)) = bytes.split_first() else { return };
    let small = match Miniature::decode(code) {
        Ok(small) => small,
        Err(damaged) => {
            assert!(!damaged.to_string().is_empty(), "an empty sentence");
            return;
        }
    };
    assert_eq!(small.values.len(), small.width * small.height, "a value for each pixel");
    assert!(small.values.iter().all(|value| *value <= small.darkest), "a value there is");
    assert_eq!(Miniature::decode(&small.encode()).as_ref(), Ok(&small), "sent on");
    // The plan beside it may have fewer or more values.
    let count = 1 + usize::from(values % plan::MAX_VALUES as u8);
    let thresholds_l: Vec<f64> =
        (0..count).map(|i| 95.0 - 90.0 * i as f64 / count as f64).collect();
    let tones = small.tones(&thresholds_l);
    assert_eq!(tones.lightness.len(), tones.width * tones.height, "a tone for each pixel");
}
