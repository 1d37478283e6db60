//! A small server for one folder on loopback: GET and HEAD, nothing else.
//!
//! The folder is read once, before the first request, and a request is answered only by looking its path
//! up among the files found: no request can name a file outside the folder.

use crate::error::BuildError;
use std::collections::BTreeMap;
use std::io::{self, BufRead, BufReader, Read, Write};
use std::net::{Ipv4Addr, TcpListener, TcpStream};
use std::path::Path;
use std::sync::Arc;
use std::time::Duration;

const HEAD_BYTES: u64 = 16 * 1024;
const IDLE: Duration = Duration::from_secs(10);

type Files = BTreeMap<String, Vec<u8>>;

/// Serves `directory` on 127.0.0.1 until the program ends; `ready` is told the address.
///
/// # Errors
/// [`BuildError::Read`] for a folder that cannot be read, [`BuildError::Serve`] for a port that is taken.
pub fn serve(directory: &Path, port: u16, ready: impl FnOnce(&str)) -> Result<(), BuildError> {
    let mut files = Files::new();
    read_folder(directory, "/", &mut files)
        .map_err(|source| BuildError::Read { path: directory.to_path_buf(), source })?;
    let failed = |source| BuildError::Serve { port, source };
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port)).map_err(failed)?;
    ready(&format!("http://{}/", listener.local_addr().map_err(failed)?));
    let files = Arc::new(files);
    for stream in listener.incoming().flatten() {
        let files = Arc::clone(&files);
        // A visitor who breaks off, or opens a connection and says nothing, concerns nobody else.
        std::thread::spawn(move || answer(&stream, &files));
    }
    Ok(())
}

fn read_folder(directory: &Path, prefix: &str, files: &mut Files) -> io::Result<()> {
    for entry in std::fs::read_dir(directory)? {
        let entry = entry?;
        let path = format!("{prefix}{}", entry.file_name().to_string_lossy());
        if entry.file_type()?.is_dir() {
            read_folder(&entry.path(), &format!("{path}/"), files)?;
        } else {
            files.insert(path, std::fs::read(entry.path())?);
        }
    }
    Ok(())
}

fn answer(mut stream: &TcpStream, files: &Files) -> io::Result<()> {
    stream.set_read_timeout(Some(IDLE))?;
    stream.set_write_timeout(Some(IDLE))?;
    let mut lines = BufReader::new(stream.take(HEAD_BYTES)).lines();
    let Some(request) = lines.next().transpose()? else { return Ok(()) };
    for line in lines {
        if line?.is_empty() {
            break;
        }
    }
    stream.write_all(&response(&request, files))
}

fn response(request: &str, files: &Files) -> Vec<u8> {
    let mut words = request.split(' ');
    let (method, target) = (words.next().unwrap_or_default(), words.next().unwrap_or_default());
    if !["GET", "HEAD"].contains(&method) {
        return message("405 Method Not Allowed", "text/plain; charset=utf-8", b"GET or HEAD only\n", true);
    }
    let path = target.split(['?', '#']).next().unwrap_or_default();
    let path = if path == "/" { "/index.html" } else { path };
    match files.get(path) {
        Some(body) => message("200 OK", content_type(path), body, method == "GET"),
        None => message("404 Not Found", "text/plain; charset=utf-8", b"no such file\n", method == "GET"),
    }
}

fn message(status: &str, content_type: &str, body: &[u8], with_body: bool) -> Vec<u8> {
    let mut bytes = format!(
        "HTTP/1.1 {status}\r\nContent-Type: {content_type}\r\nContent-Length: {}\r\nCache-Control: no-cache\r\n\
         X-Content-Type-Options: nosniff\r\nConnection: close\r\n\r\n",
        body.len()
    )
    .into_bytes();
    if with_body {
        bytes.extend_from_slice(body);
    }
    bytes
}

fn content_type(path: &str) -> &'static str {
    match path.rsplit_once('.').map(|(_, extension)| extension) {
        Some("html") => "text/html; charset=utf-8",
        Some("js") => "text/javascript; charset=utf-8",
        Some("webmanifest") => "application/manifest+json; charset=utf-8",
        Some("png") => "image/png",
        Some("txt") => "text/plain; charset=utf-8",
        _ => "application/octet-stream",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(request: &str, status: &str, body: &str) {
        let files = Files::from([("/index.html".to_owned(), b"page".to_vec())]);
        let response = String::from_utf8_lossy(&response(request, &files)).into_owned();
        assert!(response.starts_with(&format!("HTTP/1.1 {status} ")), "{request}: {response}");
        assert_eq!(response.split_once("\r\n\r\n").map(|(_, body)| body), Some(body), "{request}");
    }

    #[test]
    fn only_files_of_the_folder_are_served() {
        check("GET / HTTP/1.1", "200", "page");
        check("GET /index.html?v=1 HTTP/1.1", "200", "page");
        check("HEAD / HTTP/1.1", "200", "");
        check("GET /../Cargo.toml HTTP/1.1", "404", "no such file\n");
        check("GET /%2e%2e/Cargo.toml HTTP/1.1", "404", "no such file\n");
        check("GET //etc/passwd HTTP/1.1", "404", "no such file\n");
        check("POST / HTTP/1.1", "405", "GET or HEAD only\n");
        check("", "405", "GET or HEAD only\n");
    }
}
