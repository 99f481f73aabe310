//! A teacher's own lesson: words, one question and a test strip, as they travel with a plan.

use crate::BITE_MIN;
use crate::ranges::MAX_TITLE;
use crate::strip::{LEAST_PATCHES, MOST_PATCHES, Side, Strip};
use crate::types::Plan;
use serde::{Deserialize, Serialize};

/// Most paragraphs.
pub(crate) const MAX_PARAGRAPHS: usize = 8;
/// Longest paragraph, and longest answer's reason, in characters: what a projector shows at once.
pub(crate) const MAX_WORDS: usize = 500;
/// Longest question, in characters.
pub(crate) const MAX_ASK: usize = 240;
/// Longest of the answers to choose from, in characters.
pub(crate) const MAX_ANSWER: usize = 90;
/// Fewest and most answers to choose from.
pub(crate) const ANSWERS: (f64, f64) = (2.0, 5.0);

/// A lesson, beside the plan that its strip varies.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ts_rs::TS)]
pub struct SharedLesson {
    /// Its title.
    pub title: String,
    /// Its words, each paragraph with the patch that it speaks of.
    pub paragraphs: Vec<Paragraph>,
    /// Asked before anything is shown.
    pub question: Question,
    /// The test strip that answers it.
    pub strip: Strip,
    /// Share of the plan's plate per value, paper first: how fast its bath tires.
    pub shares: Vec<f64>,
}

/// A paragraph.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize, ts_rs::TS)]
pub struct Paragraph {
    /// Plain text.
    pub words: String,
    /// The patch it speaks of, row by row from 0.
    pub at: usize,
}

/// A question with answers to choose from.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize, ts_rs::TS)]
pub struct Question {
    /// The question.
    pub ask: String,
    /// What may be guessed.
    pub options: Vec<String>,
    /// Which of them is so, from 0.
    pub right: usize,
    /// What is said after the guess.
    pub because: String,
    /// The patch that answers it.
    pub at: usize,
}

impl SharedLesson {
    /// What is still missing or too long, in a sentence; `None` for a lesson that can be shared.
    #[must_use]
    pub fn problem(&self, plan: &Plan) -> Option<String> {
        self.words_problem().or_else(|| self.strip_problem(plan)).or_else(|| self.patch_problem())
    }

    fn words_problem(&self) -> Option<String> {
        let Question { ask, options, right, because, .. } = &self.question;
        let paragraphs = self.paragraphs.len();
        if paragraphs == 0 {
            return Some("The lesson has no words yet: write a paragraph.".to_owned());
        }
        if paragraphs > MAX_PARAGRAPHS {
            return Some(format!(
                "The lesson has {paragraphs} paragraphs; at most {MAX_PARAGRAPHS} fit."
            ));
        }
        let (least, most) = ANSWERS;
        if !(least..=most).contains(&(options.len() as f64)) {
            return Some(format!("The question needs {least} to {most} answers to choose from."));
        }
        let mut all = vec![("The title", self.title.as_str(), MAX_TITLE)];
        all.push(("The question", ask, MAX_ASK));
        all.extend(options.iter().map(|one| ("An answer", one.as_str(), MAX_ANSWER)));
        all.push(("What is said after the guess", because, MAX_WORDS));
        all.extend(
            self.paragraphs.iter().map(|one| ("A paragraph", one.words.as_str(), MAX_WORDS)),
        );
        for (what, words, most) in all {
            let chars = words.chars().count();
            if words.trim().is_empty() {
                return Some(format!("{what} is still empty."));
            }
            if chars > most {
                return Some(format!("{what} has {chars} characters; at most {most} fit."));
            }
        }
        let twice = options.iter().enumerate().any(|(i, one)| options[..i].contains(one));
        if twice {
            return Some("Two of the answers are the same.".to_owned());
        }
        (*right >= options.len()).then(|| "Say which of the answers is right.".to_owned())
    }

    fn strip_problem(&self, plan: &Plan) -> Option<String> {
        let Strip { along, down, value, minutes } = &self.strip;
        let sound = |side: &Side| {
            side.from.is_finite()
                && side.to.is_finite()
                && (LEAST_PATCHES..=MOST_PATCHES).contains(&side.count)
        };
        let sides = sound(along) && down.as_ref().is_none_or(sound);
        let bite = (BITE_MIN.0..=BITE_MIN.1).contains(minutes);
        if !sides || !bite || *value == Some(0) || self.strip.patches(plan, &self.shares).is_none()
        {
            return Some("The strip varies something that its plan does not have.".to_owned());
        }
        let whole = self.shares.len() == plan.bites.len() + 1;
        let shares = self.shares.iter().all(|share| (0.0..=1.0).contains(share));
        (!whole || !shares).then(|| {
            "The plan’s own numbers are not in yet: wait a moment, or choose the plan again."
                .to_owned()
        })
    }

    fn patch_problem(&self) -> Option<String> {
        let patches = self.strip.patch_count();
        let mut named = self.paragraphs.iter().map(|one| one.at).chain([self.question.at]);
        named.any(|at| at >= patches).then(|| {
            "A paragraph or the answer names a patch that the strip does not have.".to_owned()
        })
    }
}

/// A small one.
#[cfg(test)]
pub(crate) fn example() -> SharedLesson {
    let along = Side { key: "dust.wait_s".to_owned(), from: 0.0, to: 120.0, count: 4 };
    SharedLesson {
        title: "What the wait does".to_owned(),
        paragraphs: vec![Paragraph { words: "Coarse grains fall first.".to_owned(), at: 3 }],
        question: Question {
            ask: "Which patch has the finest grain?".to_owned(),
            options: vec!["the first".to_owned(), "the last".to_owned()],
            right: 1,
            because: "The last: what was coarse has gone by.".to_owned(),
            at: 3,
        },
        strip: Strip { along, down: None, value: Some(4), minutes: 8.0 },
        shares: vec![0.125; 8],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_missing_is_said() {
        let plan = Plan::default();
        assert_eq!(example().problem(&plan), None, "a whole lesson");
        type Spoil = fn(&mut SharedLesson);
        let cases: [(&str, Spoil); 15] = [
            ("title is still empty", |one| one.title = " ".to_owned()),
            ("121 characters; at most 120", |one| one.title = "é".repeat(121)),
            ("no words yet", |one| one.paragraphs.clear()),
            ("at most 8 fit", |one| one.paragraphs = vec![Paragraph::default(); 9]),
            ("501 characters", |one| one.paragraphs[0].words = "x".repeat(501)),
            ("question is still empty", |one| one.question.ask.clear()),
            ("2 to 5 answers", |one| one.question.options.truncate(1)),
            ("the same", |one| one.question.options[1] = "the first".to_owned()),
            ("which of the answers", |one| one.question.right = 2),
            ("after the guess is still empty", |one| one.question.because.clear()),
            ("does not have", |one| one.strip.along.key = "dust.wait".to_owned()),
            ("does not have", |one| one.strip.along.to = f64::NAN),
            ("does not have", |one| one.strip.along.count = 99),
            ("not in yet", |one| one.shares.clear()),
            ("names a patch", |one| one.paragraphs[0].at = 4),
        ];
        for (words, spoil) in cases {
            let mut spoilt = example();
            spoil(&mut spoilt);
            let said = spoilt.problem(&plan).unwrap_or_default();
            assert!(said.contains(words), "“{said}” says “{words}”");
        }
    }
}
