//! `cargo xtask serve`: dist/ on this machine only.

use crate::run::{root, say};
use anyhow::{Context, Result, anyhow};
use std::fs;
use std::path::{Path, PathBuf};
use tiny_http::{Header, Method, Request, Response, Server};

/// The port tried first where none is asked for, and how many after it.
const FIRST_PORT: u16 = 8137;
const PORTS: u16 = 20;

/// Serves dist/ until the process is ended.
///
/// # Errors
/// When the port, or every port tried, is taken.
pub(crate) fn serve(port: Option<u16>) -> Result<()> {
    let server = match port {
        Some(port) => listen(port)?,
        None => (FIRST_PORT..FIRST_PORT + PORTS)
            .find_map(|port| listen(port).ok())
            .with_context(|| format!("no port from {FIRST_PORT} on is free; use --port"))?,
    };
    let folder = root().join("dist");
    say(&format!(
        "showing dist/ at http://{}/ (end with Ctrl+C)",
        server.server_addr()
    ));
    for request in server.incoming_requests() {
        answer(request, &folder);
    }
    Ok(())
}

fn listen(port: u16) -> Result<Server> {
    Server::http(("127.0.0.1", port)).map_err(|error| anyhow!("port {port}: {error}"))
}

fn answer(request: Request, folder: &Path) {
    let found = matches!(request.method(), Method::Get | Method::Head)
        .then(|| file_for(folder, request.url()))
        .flatten()
        .and_then(|path| Some((fs::read(&path).ok()?, mime(&path))));
    let (bytes, kind, status) = match found {
        Some((bytes, kind)) => (bytes, kind, 200),
        None => (
            b"Nothing is here.\n".to_vec(),
            "text/plain; charset=utf-8",
            404,
        ),
    };
    let mut response = Response::from_data(bytes).with_status_code(status);
    for (name, value) in [
        ("Content-Type", kind),
        ("Cache-Control", "no-store"),
        ("X-Content-Type-Options", "nosniff"),
    ] {
        if let Ok(header) = Header::from_bytes(name, value) {
            response.add_header(header);
        }
    }
    // A browser that has gone away is no concern of the server.
    let _ = request.respond(response);
}

/// Finds the file that an address stands for, or `None` where there is none or the address
/// leads out of the folder.
fn file_for(folder: &Path, address: &str) -> Option<PathBuf> {
    let address = address.split(['?', '#']).next()?;
    let address = decoded(address.strip_prefix('/')?)?;
    let mut path = folder.to_path_buf();
    for part in address.split('/') {
        let harmless = !part.contains(['\\', ':', '\0']) && part != "..";
        if !harmless {
            return None;
        }
        path.push(part);
    }
    if path.is_dir() {
        path.push("index.html");
    }
    // A symbolic link may still lead elsewhere.
    let real = path.canonicalize().ok()?;
    (real.is_file() && real.starts_with(folder.canonicalize().ok()?)).then_some(real)
}

/// Undoes percent-encoding.
fn decoded(text: &str) -> Option<String> {
    let mut bytes = Vec::new();
    let mut rest = text.bytes();
    while let Some(byte) = rest.next() {
        if byte == b'%' {
            let digits = [rest.next()?, rest.next()?];
            let digits = std::str::from_utf8(&digits).ok()?;
            bytes.push(u8::from_str_radix(digits, 16).ok()?);
        } else {
            bytes.push(byte);
        }
    }
    String::from_utf8(bytes).ok()
}

fn mime(path: &Path) -> &'static str {
    match path.extension().and_then(|extension| extension.to_str()) {
        Some("html") => "text/html; charset=utf-8",
        Some("js" | "mjs") => "text/javascript; charset=utf-8",
        Some("css") => "text/css; charset=utf-8",
        Some("wasm") => "application/wasm",
        Some("svg") => "image/svg+xml",
        Some("png") => "image/png",
        Some("ico") => "image/x-icon",
        Some("json") => "application/json",
        Some("webmanifest") => "application/manifest+json",
        Some("musicxml") => "application/vnd.recordare.musicxml+xml",
        Some("mxl") => "application/vnd.recordare.musicxml",
        Some("mid") => "audio/midi",
        Some("wav") => "audio/wav",
        Some("vtt") => "text/vtt; charset=utf-8",
        Some("txt") => "text/plain; charset=utf-8",
        _ => "application/octet-stream",
    }
}

#[cfg(test)]
mod tests {
    use super::{decoded, file_for, mime};
    use std::fs;
    use std::path::{Path, PathBuf};

    fn folder(name: &str) -> PathBuf {
        let folder =
            std::env::temp_dir().join(format!("cueleaf-serve-{name}-{}", std::process::id()));
        fs::create_dir_all(folder.join("dist/sub")).unwrap();
        fs::write(folder.join("dist/index.html"), "page").unwrap();
        fs::write(folder.join("dist/sub/a b.css"), "style").unwrap();
        fs::write(folder.join("secret.txt"), "no").unwrap();
        folder
    }

    #[test]
    fn addresses_find_files_inside_the_folder_only() {
        let place = folder("addresses");
        let dist = place.join("dist");
        let name = |address: &str| {
            file_for(&dist, address).map(|path| path.file_name().unwrap().to_owned())
        };
        assert_eq!(name("/").unwrap(), "index.html");
        assert_eq!(name("/index.html?x=1").unwrap(), "index.html");
        assert_eq!(name("/sub/a%20b.css").unwrap(), "a b.css");
        for address in [
            "/../secret.txt",
            "/%2e%2e/secret.txt",
            "/sub/../../secret.txt",
            "/%2e%2e%2fsecret.txt",
            "/..%5csecret.txt",
            "//etc/hostname",
            "/sub",
            "/none",
            "index.html",
            "/%zz",
        ] {
            assert_eq!(name(address), None, "{address}");
        }
        fs::remove_dir_all(place).unwrap();
    }

    #[test]
    fn percent_encoding_is_undone() {
        assert_eq!(decoded("a%20%C3%A9").as_deref(), Some("a é"));
        assert_eq!(decoded("%4"), None);
        assert_eq!(decoded("%ff"), None);
    }

    #[test]
    fn modules_and_manifests_have_their_types() {
        assert_eq!(mime(Path::new("builder.wasm")), "application/wasm");
        assert_eq!(
            mime(Path::new("app.webmanifest")),
            "application/manifest+json"
        );
    }
}
