//! All tests of pictures, in one program: linked once, and no test waits for those of another file.

#[path = "support/coded.rs"]
mod coded;
#[path = "support/grown.rs"]
mod grown;
#[path = "../../plan/tests/support/mod.rs"]
mod support;

mod digests;
mod fuzz_corpus;
mod guides;
mod hand;
mod harbour;
mod likeness;
mod lines;
mod miniature;
mod newly;
mod read;
mod spoiled_links;
mod tones;
mod toning;
mod values;
