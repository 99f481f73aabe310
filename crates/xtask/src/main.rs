//! Builds the page's reckoner and serves the built page. Called by `scripts/`; nothing here is shipped.
#![allow(clippy::print_stdout, reason = "a command-line tool talks to its terminal")]

mod serve;
mod wasm;

use std::error::Error;
use std::io;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// What every step gives back: the error is a sentence for the terminal.
type Outcome<T> = Result<T, Box<dyn Error>>;

const USAGE: &str = "\
xtask wasm                        build what the page reckons with into www/generated/
xtask deflate                     pack what comes in as closely as deflate can
xtask bench                       build crates/bench as the page is built, for scripts/bench
xtask serve DIR [--port N]        serve a folder on this machine only (default port 8017)";

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let outcome = match words.as_slice() {
        ["wasm"] => wasm::build(&root()),
        ["deflate"] => wasm::deflate(io::stdin().lock(), io::stdout().lock()),
        ["bench"] => wasm::compile(&root(), "bench").map(|_| ()),
        ["serve", folder] => serve::serve(Path::new(folder), serve::DEFAULT_PORT),
        ["serve", folder, "--port", port] => match port.parse() {
            Ok(port) => serve::serve(Path::new(folder), port),
            Err(_) => Err(format!("--port takes a number from 0 to 65535, not `{port}`").into()),
        },
        _ => Err(format!("usage:\n{USAGE}").into()),
    };
    match outcome {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("xtask: {error}");
            ExitCode::FAILURE
        }
    }
}

/// The repository's top folder: cargo says at run time where this package lies, so a binary kept from
/// another clone still builds the right one. Run by hand, it is the current folder.
fn root() -> PathBuf {
    std::env::var_os("CARGO_MANIFEST_DIR")
        .map_or_else(|| PathBuf::from("."), |package| PathBuf::from(package).join("../.."))
}
