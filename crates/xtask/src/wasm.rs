//! `crates/page` and `crates/page_studies` to WebAssembly: cargo builds them, wasm-bindgen (as a library, so one lock file pins
//! both halves) writes the glue.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::process::Command;

use wasm_bindgen_cli_support::Bindgen;

use crate::Outcome;

const TARGET: &str = "wasm32-unknown-unknown";

/// The module that the page opens with, and the one with the studies, which holds the first as well.
const MODULES: [&str; 2] = ["page", SINGLE_FILE];
/// The one that stands for both in the single file.
const SINGLE_FILE: &str = "page_studies";

/// Builds both modules and writes the `.wasm` and `.js` (glue for a classic worker, which defines
/// `wasm_bindgen`) of each, and the `.d.ts` and `types.ts` of all that can be asked, into `www/generated/`.
pub(crate) fn build(root: &Path) -> Outcome<()> {
    let folder = root.join("www/generated");
    fs::create_dir_all(&folder)?;
    let types = page_studies::typescript();
    write_if_new(&folder.join("types.ts"), types.as_bytes())?;
    for module in MODULES {
        let built = compile(root, module)?;
        // The page's sources import the types as a module; the worker takes the glue as a plain script.
        let calls = bindgen(&built).web(true)?.typescript(true).generate_output()?;
        let calls = calls.ts().unwrap_or_default();
        all_declared(calls, &types)?;
        let mut output = bindgen(&built).no_modules(true)?.generate_output()?;
        write_if_new(&folder.join(format!("{module}.d.ts")), calls.as_bytes())?;
        write_if_new(&folder.join(format!("{module}.js")), output.js().as_bytes())?;
        let wasm = output.wasm_mut().emit_wasm();
        if module == SINGLE_FILE {
            pack(&folder, &wasm)?;
        }
        write_if_new(&folder.join(format!("{module}.wasm")), &wasm)?;
    }
    Ok(())
}

/// Packs the module of the single file, `.deflate` beside it: by Zopfli, which takes seconds and saves 25 kB where zlib's
/// best is at its end. Only anew where the module is another.
fn pack(folder: &Path, wasm: &[u8]) -> Outcome<()> {
    let [module, packed] =
        ["wasm", "deflate"].map(|end| folder.join(SINGLE_FILE).with_extension(end));
    if packed.exists() && fs::read(module).is_ok_and(|before| before == wasm) {
        return Ok(());
    }
    let mut bytes = Vec::new();
    deflate(wasm, &mut bytes)?;
    Ok(fs::write(packed, bytes)?)
}

/// Packs bytes as closely as deflate (RFC 1951) can.
pub(crate) fn deflate(bytes: impl io::Read, into: impl io::Write) -> Outcome<()> {
    Ok(zopfli::compress(zopfli::Options::default(), zopfli::Format::Deflate, bytes, into)?)
}

/// Every type that a call names as `T.Plan` is declared: TypeScript takes one that is not for `any`
/// without a word.
fn all_declared(calls: &str, types: &str) -> Outcome<()> {
    for named in calls.split(|c: char| !(c.is_alphanumeric() || c == '.' || c == '_')) {
        if let Some(name) = named.strip_prefix("T.")
            && !types.contains(&format!("export type {name} "))
        {
            return Err(format!(
                "a call names the type {name}, which neither crates/page nor crates/page_studies declares"
            )
            .into());
        }
    }
    Ok(())
}

fn bindgen(module: &Path) -> Bindgen {
    let mut bindgen = Bindgen::new();
    bindgen
        .input_path(module)
        .typescript(false)
        .omit_default_module_path(true)
        .remove_name_section(true)
        .remove_producers_section(true);
    bindgen
}

/// Builds a package's library for the browser as the page is built, and says where the module is.
pub(crate) fn compile(root: &Path, package: &str) -> Outcome<PathBuf> {
    let target_dir = std::env::var_os("CARGO_TARGET_DIR")
        .map_or_else(|| root.join("target"), |folder| root.join(folder));
    let from_debian = std::env::var_os("PLATEWRIGHT_DEBIAN_RUST").is_some();
    let mut cargo = if from_debian {
        debian_cargo()?
    } else {
        Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()))
    };
    cargo
        .current_dir(root)
        .args(["build", "--package", package, "--lib", "--locked"])
        .args(["--target", TARGET, "--profile", "web", "--target-dir"])
        .arg(&target_dir)
        .env("CARGO_ENCODED_RUSTFLAGS", rust_flags());
    if from_debian {
        cargo.arg("-Zbuild-std=std,panic_abort");
    }
    if !cargo.status()?.success() {
        return Err(format!(
            "crates/{package} did not build for the browser; the compiler's words are above"
        )
        .into());
    }
    let module = target_dir.join(TARGET).join(format!("web/{package}.wasm"));
    if !module.exists() {
        return Err(format!(
            "crates/{package} built no module: its Cargo.toml needs crate-type = [\"cdylib\", \"rlib\"]"
        )
        .into());
    }
    Ok(module)
}

/// Four lanes at once, and no folder names of this machine in the panic texts.
fn rust_flags() -> String {
    let mut flags = vec![
        "-Ctarget-feature=+simd128".to_owned(),
        // Less unrolling is 16 kB of the page and no time; less inlining is 25 kB and, measured with
        // crates/bench, up to 7 % of the time of a value.
        "-Cllvm-args=-unroll-runtime=false -unroll-threshold=20 -inline-threshold=15".to_owned(),
    ];
    let home = std::env::var("HOME").unwrap_or_default();
    let cargo_home = std::env::var("CARGO_HOME").unwrap_or_else(|_| format!("{home}/.cargo"));
    flags.push(format!("--remap-path-prefix={cargo_home}/registry/src=crates"));
    flags.join("\x1f")
}

/// Debian's compiler with its matching library sources, for machines where rustup's ready-made
/// target is not to be had. Debian ships no linker for the target, so rustup's is lent to it.
fn debian_cargo() -> Outcome<Command> {
    let rustup = |arguments: &[&str]| -> Outcome<String> {
        let answer = Command::new("rustc").args(arguments).output()?;
        Ok(String::from_utf8(answer.stdout)?.trim().to_owned())
    };
    let version = rustup(&["-vV"])?;
    let host = version
        .lines()
        .find_map(|line| line.strip_prefix("host: "))
        .ok_or("rustc -vV names no host")?;
    let linker = format!("{}/lib/rustlib/{host}/bin/rust-lld", rustup(&["--print", "sysroot"])?);
    let mut cargo = Command::new("/usr/bin/cargo");
    cargo
        .env("RUSTC", "/usr/bin/rustc")
        .env("RUSTC_BOOTSTRAP", "1")
        .env_remove("RUSTUP_TOOLCHAIN")
        .env("CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_LINKER", linker);
    Ok(cargo)
}

/// Leaves a file that already says the same alone, so that its date tells when it last changed.
fn write_if_new(path: &Path, bytes: &[u8]) -> Outcome<()> {
    if fs::read(path).is_ok_and(|old| old == bytes) {
        return Ok(());
    }
    Ok(fs::write(path, bytes)?)
}
