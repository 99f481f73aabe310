//! A teacher's lesson in a link: what comes back, how long it is, and what spoiled ones say.

use plan::Plan;
use plan::lesson::{Paragraph, Question, SharedLesson};
use plan::link::{self, LinkError};
use plan::strip::{Side, Strip};

fn side(key: &str, from: f64, to: f64, count: usize) -> Side {
    Side { key: key.to_owned(), from, to, count }
}

/// Three paragraphs and a question, as a teacher may well write them.
fn lesson() -> SharedLesson {
    let said = |words: &str, at| Paragraph { words: words.to_owned(), at };
    SharedLesson {
        title: "Why we wait before the plate goes in".to_owned(),
        paragraphs: vec![
            said("Stir the box and look at it from the side: the coarse grains are down within a few breaths, the fine ones hang in the air for minutes.", 0),
            said("Whoever waits therefore gets a finer grain, and less of it. <b>Compare</b> the first patch with the last & say what the linen tester shows.", 5),
            said("On Thursday we try two waits on our own copper. Bring an apron — and your respirator.", 3),
        ],
        question: Question {
            ask: "The box is stirred once. After which wait does value 4 print darkest?".to_owned(),
            options: ["at once", "after half a minute", "after two minutes"].map(str::to_owned).to_vec(),
            right: 1,
            because: "After half a minute: the coarsest grains have gone by, and enough dust is still to come.".to_owned(),
            at: 1,
        },
        strip: Strip { along: side("dust.wait_s", 0.0, 150.0, 6), down: Some(side("ink.wipe", 0.0, 0.0, 7)), value: Some(4), minutes: 8.0 },
        shares: vec![0.1218, 0.1214, 0.1619, 0.1319, 0.154, 0.0767, 0.0793, 0.153],
    }
}

fn with_lesson(plan: &Plan, miniature: Option<&[u8]>, lesson: &SharedLesson) -> String {
    let link = link::encode(plan, miniature).expect("a link");
    link::with_lesson(&link, lesson).expect("a link with a lesson")
}

#[test]
fn a_lesson_comes_back_equal_beside_its_plan() {
    let plan = Plan { title: "Harbour, third plate".to_owned(), ..Plan::default() };
    let once = SharedLesson {
        strip: Strip {
            down: None,
            value: None,
            along: side("bath.temperature_c", 12.5, 30.0 / 7.0, 9),
            minutes: 0.25,
        },
        ..lesson()
    };
    for lesson in [lesson(), once] {
        for miniature in [None, Some([7_u8; 300].as_slice())] {
            let found = link::decode(&with_lesson(&plan, miniature, &lesson)).expect("it opens");
            assert_eq!((found.lesson, found.left_out), (Some(lesson.clone()), false), "the lesson");
            assert_eq!((found.plan, found.miniature.as_deref()), (plan.clone(), miniature));
        }
    }
    let twice = link::with_lesson(&with_lesson(&plan, None, &lesson()), &lesson());
    assert_eq!(twice, Ok(with_lesson(&plan, None, &lesson())), "one takes the other’s place");
    assert_eq!(
        link::decode(&link::encode(&plan, None).expect("a link")).map(|one| one.lesson),
        Ok(None)
    );
}

#[test]
fn a_lesson_of_three_paragraphs_goes_through_every_chat() {
    let chars = with_lesson(&Plan::default(), None, &lesson()).len();
    println!("three paragraphs and a question: {chars} characters");
    assert!(chars <= 1_000, "the link has {chars} characters");
}

#[test]
fn a_spoiled_link_is_told_as_one_of_a_plan_is() {
    let link = with_lesson(&Plan::default(), None, &lesson());
    let half = &link[..link.len() / 2];
    assert_eq!(link::decode(half), Err(LinkError::CutOff), "cut off");
    for at in (2..link.len() - 1).step_by(7) {
        let other = if link.as_bytes()[at] == b'A' { "B" } else { "A" };
        let wrong = format!("{}{other}{}", &link[..at], &link[at + 1..]);
        assert!(link::decode(&wrong).is_err(), "a wrong character at {at}");
    }
    let mut empty = lesson();
    empty.title.clear();
    let plain = link::encode(&Plan::default(), None).expect("a link");
    let said = link::with_lesson(&plain, &empty).expect_err("no title").to_string();
    assert_eq!(said, "The title is still empty.");
}

#[test]
fn the_first_lesson_link_opens_for_ever() {
    let golden = include_str!("links/lesson.txt").trim();
    assert_eq!(link::decode(golden).map(|found| found.lesson), Ok(Some(lesson())), "golden link");
}
