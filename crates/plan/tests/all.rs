//! All tests of plans, in one program: linked once, and no test waits for those of another file.

#[path = "support/hostile.rs"]
mod hostile;
mod support;

mod areas;
mod difference;
mod edits;
mod edits_of_lists;
mod faults;
mod fuzz_corpus;
mod lesson;
mod lines;
mod link;
mod model;
mod order;
mod plan;
mod sentence;
mod states;
