//! A static file server for one folder, for this machine only. Small on purpose: it serves the built
//! page for a look and for the browser tests; a real host serves it to others. Like a real host it packs
//! what packs, so that what is measured of a slow network is what others see.

use flate2::Compression;
use flate2::write::GzEncoder;
use std::collections::BTreeMap;
use std::fs;
use std::io::{BufRead, BufReader, ErrorKind, Write};
use std::net::{Ipv4Addr, Ipv6Addr, TcpListener, TcpStream};
use std::path::{Component, Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, SystemTime};

use crate::Outcome;

/// Tried first; the next free one is taken when it is in use.
pub(crate) const DEFAULT_PORT: u16 = 8017;

/// How many ports after the wished one are tried before the system picks any.
const NEXT_PORTS: u16 = 20;

/// Longest request head read, bytes; a browser's is a few hundred.
const HEAD_LIMIT: u64 = 16 * 1024;

/// Serves `folder` until the process is ended, and prints the address.
pub(crate) fn serve(folder: &Path, port: u16) -> Outcome<()> {
    let folder = fs::canonicalize(folder).map_err(|_| {
        format!("there is no folder `{}`; run scripts/build first", folder.display())
    })?;
    let listener = listen(port)?;
    let taken = listener.local_addr()?.port();
    if port != 0 && taken != port {
        println!("Port {port} is taken by another program, so this uses {taken}.");
    }
    println!("Platewright is at http://localhost:{taken}/ (Ctrl-C ends it)");
    let (folder, packed) = (Arc::new(folder), Arc::new(Packed::default()));
    for stream in listener.incoming().flatten() {
        let (folder, packed) = (Arc::clone(&folder), Arc::clone(&packed));
        // A browser that hangs up half-way is its own business.
        std::thread::spawn(move || answer(stream, &folder, &packed).ok());
    }
    Ok(())
}

/// Listens on the wished port, or on the next free one.
fn listen(port: u16) -> Outcome<TcpListener> {
    for candidate in port..=port.saturating_add(NEXT_PORTS) {
        // A browser asks `localhost` at ::1 first: who listens there would answer in our place.
        if candidate != 0 && in_use(TcpListener::bind((Ipv6Addr::LOCALHOST, candidate))) {
            continue;
        }
        match TcpListener::bind((Ipv4Addr::LOCALHOST, candidate)) {
            Ok(listener) => return Ok(listener),
            Err(error) if error.kind() == ErrorKind::AddrInUse => {}
            Err(error) => return Err(format!("port {candidate} cannot be used: {error}").into()),
        }
    }
    Ok(TcpListener::bind((Ipv4Addr::LOCALHOST, 0))?)
}

fn in_use(bound: std::io::Result<TcpListener>) -> bool {
    bound.is_err_and(|error| error.kind() == ErrorKind::AddrInUse)
}

/// Reads one request and answers it.
fn answer(mut stream: TcpStream, folder: &Path, packed: &Packed) -> Outcome<()> {
    stream.set_read_timeout(Some(Duration::from_secs(10)))?;
    let mut lines = BufReader::new(std::io::Read::take(&stream, HEAD_LIMIT)).lines();
    let request = lines.next().ok_or("an empty request")??;
    let mut takes_gzip = false;
    for line in lines {
        let line = line?.to_ascii_lowercase();
        if line.is_empty() {
            break;
        }
        takes_gzip |= line.starts_with("accept-encoding:") && line.contains("gzip");
    }
    let mut words = request.split(' ');
    let (method, target) = (words.next().unwrap_or(""), words.next().unwrap_or(""));
    if method != "GET" && method != "HEAD" {
        return reply(
            &mut stream,
            "405 Method Not Allowed",
            "text/plain",
            b"Only GET and HEAD.\n",
            true,
            false,
        );
    }
    let Some(file) = find(folder, target) else {
        let (kind, words) = ("text/plain; charset=utf-8", b"Nothing here.\n");
        return reply(&mut stream, "404 Not Found", kind, words, method == "GET", false);
    };
    let kind = media_type(&file);
    let pack = takes_gzip && packs(kind);
    let body = if pack { packed.file(&file)? } else { fs::read(&file)?.into() };
    reply(&mut stream, "200 OK", kind, &body, method == "GET", pack)
}

/// Files in gzip's format, each packed when it is first asked for and again when it has changed, so that
/// a later visitor does not wait for the packing.
#[derive(Default)]
struct Packed(Mutex<BTreeMap<PathBuf, PackedFile>>);

/// When the file was changed last, and its bytes.
type PackedFile = (SystemTime, Arc<[u8]>);

impl Packed {
    /// A file's bytes, packed.
    fn file(&self, file: &Path) -> Outcome<Arc<[u8]>> {
        let changed = fs::metadata(file)?.modified()?;
        let kept = || self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((at, bytes)) = kept().get(file)
            && *at == changed
        {
            return Ok(Arc::clone(bytes));
        }
        let bytes: Arc<[u8]> = gzip(&fs::read(file)?)?.into();
        kept().insert(file.to_path_buf(), (changed, Arc::clone(&bytes)));
        Ok(bytes)
    }
}

/// Whether bytes of this media type get shorter: pictures and letters are packed already.
fn packs(kind: &str) -> bool {
    !matches!(kind, "image/png" | "font/woff2" | "application/octet-stream")
}

/// The bytes in gzip's format (RFC 1952).
fn gzip(bytes: &[u8]) -> std::io::Result<Vec<u8>> {
    let mut packed = GzEncoder::new(Vec::new(), Compression::best());
    packed.write_all(bytes)?;
    packed.finish()
}

fn reply(
    stream: &mut TcpStream,
    status: &str,
    kind: &str,
    body: &[u8],
    with_body: bool,
    packed: bool,
) -> Outcome<()> {
    let encoding = if packed { "Content-Encoding: gzip\r\n" } else { "" };
    write!(
        stream,
        "HTTP/1.1 {status}\r\nContent-Type: {kind}\r\n{encoding}Vary: Accept-Encoding\r\nContent-Length: {}\r\n\
         Cache-Control: no-cache\r\nX-Content-Type-Options: nosniff\r\nConnection: close\r\n\r\n",
        body.len()
    )?;
    if with_body {
        stream.write_all(body)?;
    }
    Ok(stream.flush()?)
}

/// The file a request names, or none when it names nothing inside the folder.
fn find(folder: &Path, target: &str) -> Option<PathBuf> {
    let path = target.split(['?', '#']).next()?.strip_prefix('/')?;
    let relative = Path::new(if path.is_empty() { "index.html" } else { path });
    if !relative.components().all(|part| matches!(part, Component::Normal(_))) {
        return None;
    }
    // A link inside the folder may point out of it.
    let file = fs::canonicalize(folder.join(relative)).ok()?;
    (file.starts_with(folder) && file.is_file()).then_some(file)
}

/// The media type by file ending (RFC 9239 for scripts, the WebAssembly web API for wasm).
fn media_type(file: &Path) -> &'static str {
    match file.extension().and_then(|ending| ending.to_str()) {
        Some("html") => "text/html; charset=utf-8",
        Some("js") => "text/javascript; charset=utf-8",
        Some("css") => "text/css; charset=utf-8",
        Some("wasm") => "application/wasm",
        Some("woff2") => "font/woff2",
        Some("png") => "image/png",
        Some("jpg") => "image/jpeg",
        Some("svg") => "image/svg+xml",
        Some("json") => "application/json",
        Some("webmanifest") => "application/manifest+json",
        Some("txt") => "text/plain; charset=utf-8",
        _ => "application/octet-stream",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_files_inside_the_folder_are_served() {
        let folder = fs::canonicalize(env!("CARGO_MANIFEST_DIR")).unwrap();
        assert!(find(&folder, "/src/main.rs").is_some(), "a plain file is found");
        assert!(find(&folder, "/src/main.rs?x=1").is_some(), "a query changes nothing");
        assert!(find(&folder, "/../../Cargo.toml").is_none(), "no way up");
        assert!(find(&folder, "//etc/passwd").is_none(), "no other root");
        assert!(find(&folder, "/src").is_none(), "no folder listing");
        assert!(find(&folder, "").is_none(), "an empty request names nothing");
    }

    #[test]
    fn wasm_is_served_as_wasm() {
        assert_eq!(media_type(Path::new("a/page.wasm")), "application/wasm", "streaming needs it");
    }

    #[test]
    fn what_packs_comes_back_whole() {
        let text = "copper, rosin, ink; ".repeat(200);
        let packed = gzip(text.as_bytes()).unwrap();
        assert!(packed.len() < text.len() / 10, "{} of {} bytes", packed.len(), text.len());
        let mut back = String::new();
        std::io::Read::read_to_string(
            &mut flate2::read::GzDecoder::new(packed.as_slice()),
            &mut back,
        )
        .unwrap();
        assert_eq!(back, text);
        assert!(packs("application/wasm") && !packs("font/woff2"));
    }

    #[test]
    fn a_changed_file_is_packed_anew() {
        let file = std::env::temp_dir().join(format!("platewright-packed-{}", std::process::id()));
        let packed = Packed::default();
        let whole = |bytes: &[u8]| {
            let mut back = String::new();
            std::io::Read::read_to_string(&mut flate2::read::GzDecoder::new(bytes), &mut back)
                .unwrap();
            back
        };
        fs::write(&file, "first").unwrap();
        let first = packed.file(&file).unwrap();
        assert_eq!(whole(&first), "first");
        assert!(Arc::ptr_eq(&first, &packed.file(&file).unwrap()), "packed once");
        fs::write(&file, "second").unwrap();
        let later = SystemTime::now() + Duration::from_secs(5);
        fs::File::options().write(true).open(&file).unwrap().set_modified(later).unwrap();
        assert_eq!(whole(&packed.file(&file).unwrap()), "second");
        fs::remove_file(&file).unwrap();
        assert!(packed.file(&file).is_err(), "a file that is gone is no answer");
    }

    #[test]
    fn a_taken_port_is_left_alone() {
        let first = TcpListener::bind((Ipv4Addr::LOCALHOST, 0)).unwrap();
        let port = first.local_addr().unwrap().port();
        let second = listen(port).unwrap();
        assert_ne!(second.local_addr().unwrap().port(), port, "another port is used");
    }
}
