//! Miniatures: what comes back, how it prints, and what hostile bytes do.

use picture::miniature::{MOST_SIDE, Miniature};
use picture::{ToneMap, ValueMap, harbour};
use plan::{Crop, Plan};

/// SplitMix64 (Steele, Lea and Flood 2014).
struct Dice(u64);

impl Dice {
    fn below(&mut self, count: u64) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        (z ^ (z >> 31)) % count
    }
}

/// Hills and hollows with some noise, as a photograph has.
fn landscape(width: usize, height: usize, noise: u64) -> ToneMap {
    let mut dice = Dice(9);
    let wave = |along: usize, period: usize| {
        let part = (along % period) as i64 - period as i64 / 2;
        part.abs() * 510 / period as i64
    };
    let lightness = (0..width * height)
        .map(|i| {
            let (x, y) = (i % width, i / width);
            let hill = (wave(x + y / 3, 90) + wave(y, 70) + wave(x * 2 + y, 210)) / 3;
            (hill + dice.below(noise + 1) as i64 - noise as i64 / 2).clamp(0, 255) as u8
        })
        .collect();
    ToneMap::new(width, height, lightness)
}

fn noise(width: usize, height: usize, darkest: u8) -> Miniature {
    let mut dice = Dice(u64::from(darkest) + 100 * width as u64);
    let values = (0..width * height).map(|_| dice.below(u64::from(darkest) + 1) as u8).collect();
    Miniature { width, height, darkest, values }
}

fn thresholds(darkest: u8) -> Vec<f64> {
    (0..darkest).map(|i| 95.5 - 7.5 * f64::from(i)).collect()
}

/// FNV-1a, 64 bits.
fn digest(bytes: &[u8]) -> u64 {
    bytes.iter().fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
        (hash ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3)
    })
}

#[test]
fn what_is_coded_comes_back() {
    let mut cases = Vec::new();
    for (width, height) in [(1, 1), (1, 40), (40, 1), (2, 3), (33, 48), (MOST_SIDE, MOST_SIDE)] {
        for darkest in [0, 1, 7, 12] {
            cases.push(noise(width, height, darkest));
            let values = vec![darkest; width * height];
            cases.push(Miniature { width, height, darkest, values });
            let values = vec![0; width * height];
            cases.push(Miniature { width, height, darkest, values });
        }
    }
    let tones = landscape(300, 400, 12);
    let levels = thresholds(7);
    for side in [10, 50, 96, 150] {
        cases.push(Miniature::of(&tones, Crop::default(), &levels, 150.0, 200.0, side));
    }
    for miniature in cases {
        let code = miniature.encode();
        let back = Miniature::decode(&code).expect("its own code");
        let Miniature { width, height, darkest, .. } = miniature;
        assert_eq!(back, miniature, "{width} × {height}, {darkest} values");
    }
}

#[test]
fn it_prints_the_same_values_again() {
    for darkest in [2, 7, 12] {
        let levels = thresholds(darkest);
        let tones = landscape(500, 400, 30);
        let photograph = Miniature::of(&tones, Crop::default(), &levels, 125.0, 100.0, 96);
        for miniature in [photograph, noise(37, 29, darkest), noise(1, 9, darkest)] {
            let picture = miniature.tones(&levels);
            let laid = ValueMap::new(&picture, Crop::default(), &levels, 150.0, 110.0);
            let again = laid.coarse(miniature.width, miniature.height);
            assert!(
                again == miniature.values,
                "{darkest} values on {} × {} pixels come back differently",
                miniature.width,
                miniature.height
            );
        }
    }
}

#[test]
fn where_black_meets_paper_nothing_creeps_in_between() {
    let levels = thresholds(7);
    let values = (0..40 * 40).map(|i| if (i % 40) + (i / 40) < 40 { 0 } else { 7 }).collect();
    let miniature = Miniature { width: 40, height: 40, darkest: 7, values };
    let picture = miniature.tones(&levels);
    let mut tones = picture.lightness.clone();
    tones.sort_unstable();
    tones.dedup();
    assert_eq!(tones.len(), 2, "tones between paper and black: {tones:?}");
    // The border runs at 45°, smoothly: each row has its step one fine pixel further left.
    let step = |row: usize| {
        let line = &picture.lightness[row * picture.width..][..picture.width];
        line.iter().take_while(|tone| **tone == tones[1]).count()
    };
    for row in 30..150 {
        assert!(step(row).abs_diff(step(row + 1)) <= 1, "the border is jagged at row {row}");
    }
}

#[test]
fn the_largest_that_fits_fits() {
    let tones = landscape(640, 480, 25);
    let levels = thresholds(7);
    let mut last = 0;
    for most in [60, 200, 500, 1_000, 1_350, 3_000] {
        let fitting = Miniature::fitting(&tones, Crop::default(), &levels, 200.0, 150.0, most);
        let (miniature, code) = fitting.unwrap_or_else(|| panic!("nothing fits {most} bytes"));
        assert!(code.len() <= most, "{} bytes instead of {most}", code.len());
        assert!(miniature.width >= last, "more bytes give fewer pixels at {most}");
        assert_eq!(miniature.height, (miniature.width * 3 + 2) / 4, "the plate's shape");
        last = miniature.width;
    }
    let none = Miniature::fitting(&tones, Crop::default(), &levels, 200.0, 150.0, 3);
    assert!(none.is_none(), "three bytes hold a picture");
}

#[test]
fn a_link_with_the_harbour_stays_short() {
    let plan = Plan::default();
    let address = "https://example.org/platewright/#".len() - 1;
    let room = plan::link::room_for_miniature(&plan, address, plan::link::CHAT_CHARS);
    let room = room.expect("a sound plan");
    let (crop, levels) = (plan.picture.crop, &plan.picture.thresholds_l);
    let (miniature, code) =
        Miniature::fitting(&harbour(900, 1200), crop, levels, 150.0, 200.0, room)
            .expect("the harbour fits");
    let link = plan::link::encode(&plan, Some(&code)).expect("a link");
    println!("{} × {} pixels, {} characters", miniature.width, miniature.height, link.len());
    assert!(link.len() + address < plan::link::CHAT_CHARS, "{} characters", link.len());
    assert!(miniature.height >= 96, "only {} rows", miniature.height);
    let back = plan::link::decode(&link).expect("its own link").miniature.expect("a miniature");
    assert_eq!(Miniature::decode(&back), Ok(miniature), "what the link brought");
}

#[test]
fn hostile_bytes_do_no_harm() {
    let tones = landscape(300, 400, 12);
    let miniature = Miniature::of(&tones, Crop::default(), &thresholds(7), 150.0, 200.0, 40);
    let code = miniature.encode();
    let check = |bytes: &[u8]| {
        if let Ok(back) = Miniature::decode(bytes) {
            assert!(back.values.len() == back.width * back.height, "a whole raster");
            assert!(back.values.iter().all(|v| *v <= back.darkest), "values within bounds");
            // And the thresholds need not fit it.
            assert_eq!(back.tones(&[50.0]).width, 5 * back.width, "a picture");
        }
    };
    for length in 0..code.len() {
        check(&code[..length]);
    }
    let mut dice = Dice(1);
    for at in 0..code.len() {
        let mut bytes = code.clone();
        bytes[at] ^= 1 << dice.below(8);
        check(&bytes);
    }
    for length in 0..300 {
        let mut bytes: Vec<u8> = (0..length).map(|_| dice.below(256) as u8).collect();
        check(&bytes);
        // With a header that is let in.
        if length > 3 {
            bytes[..3].copy_from_slice(&[20, 20, 12]);
            check(&bytes);
        }
    }
    for bad in [&[0, 5, 7, 1][..], &[5, 0, 7, 1], &[193, 5, 7, 1], &[5, 5, 13, 1], &[5, 5]] {
        assert!(Miniature::decode(bad).is_err(), "{bad:?} was let in");
    }
    let padded = [code.as_slice(), &[0; 9]].concat();
    assert!(Miniature::decode(&padded).is_err(), "bytes too many were let in");
}

/// Digests of the golden miniature's values and of its picture.
const GOLDEN_VALUES: u64 = 0xd0ce_ed32_1f70_923d;
const GOLDEN_TONES: u64 = 0xba05_0c15_eee1_2b72;

#[test]
fn codes_in_old_links_read_the_same_for_ever() {
    // Written once by `Miniature::encode`, never again.
    let code = include_bytes!("miniatures/landscape-v1.bin");
    let miniature = Miniature::decode(code).expect("the golden miniature");
    assert_eq!((miniature.width, miniature.height, miniature.darkest), (48, 64, 7), "its size");
    assert_eq!(digest(&miniature.values), GOLDEN_VALUES, "its values");
    assert_eq!(digest(&miniature.tones(&thresholds(7)).lightness), GOLDEN_TONES, "its picture");
}
