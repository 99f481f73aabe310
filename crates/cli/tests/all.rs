//! All tests of the native program, in one program: linked once, and no test waits for those of another file.

mod backwards;
mod check;
mod documents;
mod explain;
mod model;
mod read;
mod strip;
