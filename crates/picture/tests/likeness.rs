//! A picture is known again, and no other is taken for it.

use picture::{HARBOUR_HEIGHT, HARBOUR_WIDTH, ToneMap, harbour, likeness, same_picture};

/// The picture in another size: every pixel the mean of those it stands for.
fn scaled(of: &ToneMap, width: usize, height: usize) -> ToneMap {
    let lightness = (0..width * height)
        .map(|i| {
            let span =
                |at: usize, to: usize, from: usize| at * from / to..((at + 1) * from).div_ceil(to);
            let (columns, rows) =
                (span(i % width, width, of.width), span(i / width, height, of.height));
            let count = columns.len() * rows.len();
            let sum: usize = rows
                .flat_map(|y| columns.clone().map(move |x| y * of.width + x))
                .map(|at| usize::from(of.lightness[at]))
                .sum();
            (sum / count) as u8
        })
        .collect();
    ToneMap::new(width, height, lightness)
}

fn mirrored(of: &ToneMap) -> ToneMap {
    let lightness =
        of.lightness.chunks(of.width).flat_map(|row| row.iter().rev().copied()).collect();
    ToneMap::new(of.width, of.height, lightness)
}

#[test]
fn a_copy_is_known_whatever_its_size_and_grain() {
    let whole = harbour(HARBOUR_WIDTH, HARBOUR_HEIGHT);
    let is = likeness(&whole);
    for (width, height) in [(1200, 1600), (641, 855), (97, 129), (60, 80)] {
        let copy = likeness(&scaled(&whole, width, height));
        assert!(same_picture(&is, &copy), "{width} × {height}: {is:?}, {copy:?}");
    }
    // As coarse as strong compression: blocks of eight pixels of one tone.
    let blocks = scaled(&whole, HARBOUR_WIDTH / 8, HARBOUR_HEIGHT / 8);
    assert!(same_picture(&is, &likeness(&blocks)), "in blocks");
}

#[test]
fn another_picture_is_not() {
    let whole = harbour(HARBOUR_WIDTH, HARBOUR_HEIGHT);
    let is = likeness(&whole);
    assert!(!same_picture(&is, &likeness(&mirrored(&whole))), "the other way round");
    let brighter = whole.lightness.iter().map(|l| l.saturating_add(12)).collect();
    assert!(!same_picture(&is, &likeness(&ToneMap { lightness: brighter, ..whole })), "brighter");
    let rows = whole.height * 9 / 10;
    let cut = ToneMap::new(whole.width, rows, whole.lightness[..whole.width * rows].to_vec());
    assert!(!same_picture(&is, &likeness(&cut)), "a tenth cut off");
    // One stroke over a cell of a drawing on white.
    let white = ToneMap::new(400, 400, vec![255; 160_000]);
    let mut drawn = white.clone();
    for y in 0..90 {
        drawn.lightness[y * 400..][20..24].fill(40);
    }
    assert!(!same_picture(&likeness(&white), &likeness(&drawn)), "a stroke more");
}

#[test]
fn the_smallest_pictures_have_a_likeness() {
    for (width, height) in [(1, 1), (1, 9), (3, 2), (5, 1)] {
        let tones = ToneMap::new(width, height, vec![77; width * height]);
        let is = likeness(&tones);
        assert_eq!(is.0[2..], [30.0; 16], "{width} × {height}");
        assert!(same_picture(&is, &is), "{width} × {height} is itself");
    }
}
