//! Thirty links cut off anywhere, and with any byte spoiled, through what the page reads links with: none panics, and
//! none opens as another plan than was sent without a word. `tests/page/spoiledLinks.test.mjs` does the same through the
//! page's own module, and watches its memory.

use crate::support;

use picture::miniature::{Miniature, link_with_picture};
use plan::Plan;
use plan::link::{self, Decoded};
use plate::check::read_link;
use std::path::Path;
use std::time::{Duration, Instant};

/// What one spoiled link came to.
enum Came {
    Refused,
    Whole,
}

/// The golden links of all plans, and others grown here: with a picture, with a lesson, and at random.
fn links() -> Vec<(String, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../plan/tests/links");
    let golden = std::fs::read_dir(folder.join("v1")).expect("the golden links");
    let mut files: Vec<_> = golden.map(|entry| entry.expect("a file").path()).collect();
    // Plans at random name constants that no stage has, so that the page refuses them.
    let any = |path: &Path| path.to_string_lossy().contains("any-");
    files.retain(|path| path.extension().is_some_and(|end| end == "txt") && !any(path));
    files.push(folder.join("lesson.txt"));
    files.sort();
    let mut links: Vec<(String, String)> = files
        .iter()
        .map(|path| {
            let text = std::fs::read_to_string(path).expect("a link");
            (path.display().to_string(), text.trim().to_owned())
        })
        .collect();
    let harbour = picture::harbour(300, 400);
    let pictured = link_with_picture(&harbour, &Plan::default(), 40).expect("a link");
    links.push(("the harbour's picture".to_owned(), pictured));
    let mut dice = support::Dice::new(30);
    while links.len() < 30 {
        let any = support::any_plan(&mut dice);
        let any = Plan { calibration: Plan::default().calibration, ..any };
        if let Ok(link) = link::encode(&any, None) {
            links.push((format!("any plan {}", links.len()), link));
        }
    }
    links
}

/// Reads it as the page does: the plan, and the small picture where there is one.
fn come(text: &str, sent: &Decoded) -> Came {
    match read_link(text) {
        Err(error) => {
            assert!(!error.to_string().is_empty(), "refused without a word: {text}");
            Came::Refused
        }
        Ok(opened) => {
            let said = opened.said();
            assert!(opened == *sent || said.is_some(), "another plan without a word: {text}");
            if let Some(Err(damaged)) = opened.miniature.as_deref().map(Miniature::decode) {
                assert!(!damaged.to_string().is_empty(), "a picture left out without a word");
            }
            Came::Whole
        }
    }
}

#[test]
fn thirty_links_cut_off_or_spoiled_anywhere_are_refused_or_whole() {
    // Each bit of each byte; with ALL_BYTES in the environment each byte becomes every other.
    let spoils: Vec<u8> = if std::env::var_os("ALL_BYTES").is_some() {
        (1..=255).collect()
    } else {
        (0..8).map(|bit| 1 << bit).collect()
    };
    let (mut tried, mut whole, mut slowest) = (0_usize, 0_usize, Duration::ZERO);
    let links = links();
    assert_eq!(links.len(), 30, "thirty links");
    for (name, text) in &links {
        let sent = read_link(text).unwrap_or_else(|error| panic!("{name}: {error}"));
        let mut judge = |spoiled: &str| {
            let took = || {
                let start = Instant::now();
                let came = come(spoiled, &sent);
                (start.elapsed(), came)
            };
            let (mut time, came) = took();
            if time > slowest {
                // On a machine that has other things to do, too, the least of a few counts.
                time = (0..3).fold(time, |least, _| least.min(took().0));
                slowest = slowest.max(time);
            }
            whole += usize::from(matches!(came, Came::Whole));
            tried += 1;
        };
        assert!(text.is_ascii(), "{name}: every byte is a character");
        for end in 0..text.len() {
            judge(&text[..end]);
        }
        let mut spoiled: Vec<char> = text.chars().collect();
        for (at, byte) in text.bytes().enumerate() {
            for spoil in &spoils {
                spoiled[at] = char::from(byte ^ spoil);
                judge(&spoiled.iter().collect::<String>());
            }
            spoiled[at] = char::from(byte);
        }
    }
    println!("{tried} spoiled links, {whole} of them opened whole, the slowest after {slowest:?}");
    assert!(tried > 50_000, "{tried} were tried");
    assert!(whole < tried / 100, "{whole} of {tried} opened: what was spoiled in them?");
}
