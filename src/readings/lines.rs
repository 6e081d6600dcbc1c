//! A text file line by line, never whole: a stray quotation mark spoils one row and not the rest of the file.

use std::io::{self, BufRead, BufReader, Cursor, Read};

use super::findings::{Kind, Problem};
use super::rows::MAX_BYTES;

/// Longest line, bytes.
const MAX_LINE: u64 = 16_384;
/// How much is looked at to tell what a file is, bytes.
const HEAD: u64 = 4096;

/// Lines of a file that has been found to be text.
pub(super) struct Lines<R: Read> {
    from: BufReader<io::Chain<Cursor<Vec<u8>>, R>>,
    number: u64,
    bytes: u64,
}

/// A line without its end.
pub(super) struct Line {
    /// From 1.
    pub(super) number: u64,
    /// What stands there; bytes that are no UTF-8 are replaced.
    pub(super) text: String,
    /// Whether it went on beyond what is kept.
    pub(super) cut: bool,
}

impl<R: Read> Lines<R> {
    /// Looks at the beginning of a file.
    pub(super) fn new(mut from: R) -> Result<Self, Problem> {
        let mut head = Vec::new();
        (&mut from).take(HEAD).read_to_end(&mut head).map_err(|e| unreadable(&e))?;
        if let Some(wrong) = not_text(&head) {
            return Err(wrong);
        }
        if head.starts_with(&[0xef, 0xbb, 0xbf]) {
            head.drain(..3);
        }
        Ok(Self { from: BufReader::new(Cursor::new(head).chain(from)), number: 0, bytes: 0 })
    }

    /// The next line that is neither blank nor a comment (`#`).
    pub(super) fn next(&mut self) -> Result<Option<Line>, Problem> {
        loop {
            let mut bytes = Vec::new();
            let read = (&mut self.from).take(MAX_LINE).read_until(b'\n', &mut bytes).map_err(|e| unreadable(&e))?;
            if read == 0 {
                return Ok(None);
            }
            self.number += 1;
            self.bytes += read as u64;
            let cut = read as u64 == MAX_LINE && !bytes.ends_with(b"\n");
            if cut {
                self.pass_rest()?;
            }
            if self.bytes > MAX_BYTES {
                return Err(too_large(None));
            }
            let text = String::from_utf8_lossy(&bytes);
            let text = text.trim_end_matches(['\n', '\r']);
            if !text.trim().is_empty() && !text.starts_with('#') {
                return Ok(Some(Line { number: self.number, text: text.to_owned(), cut }));
            }
        }
    }

    /// Passes over what is left of a line.
    fn pass_rest(&mut self) -> Result<(), Problem> {
        loop {
            let part = self.from.fill_buf().map_err(|e| unreadable(&e))?;
            let end = part.iter().position(|&b| b == b'\n');
            let used = end.map_or(part.len(), |at| at + 1);
            self.bytes += used as u64;
            self.from.consume(used);
            if end.is_some() || used == 0 || self.bytes > MAX_BYTES {
                return Ok(());
            }
        }
    }
}

/// The file, or what the system said of it.
pub(super) fn unreadable(cause: &io::Error) -> Problem {
    Problem::of(Kind::File, None, format!("the file cannot be read: {cause}"), "Check its name and that you may read it.")
}

/// A file over the limit; its size where that is known.
pub(super) fn too_large(bytes: Option<u64>) -> Problem {
    let most = MAX_BYTES / 1_000_000;
    let size = bytes.map_or_else(|| format!("is larger than {most} MB"), |b| format!("has {} MB", b.div_ceil(1_000_000)));
    Problem::of(
        Kind::File,
        None,
        format!("the file {size}; at most {most} MB are read"),
        "Export fewer days, fewer columns or means over 5 to 15 minutes, and try again.",
    )
}

/// What a beginning betrays that is no text.
fn not_text(head: &[u8]) -> Option<Problem> {
    let file = |what: &str, remedy: &str| Some(Problem::of(Kind::File, None, what, remedy));
    const AS_CSV: &str = "Save it as CSV in UTF-8 and open that.";
    if head.iter().all(u8::is_ascii_whitespace) || head == [0xef, 0xbb, 0xbf] {
        return file("the file is empty", "Export the log again; its first line names the columns.");
    }
    if head.starts_with(&[0xff, 0xfe]) || head.starts_with(&[0xfe, 0xff]) {
        return file("the file is text in UTF-16, which is not read", AS_CSV);
    }
    if head.starts_with(b"PK\x03\x04") || head.starts_with(&[0xd0, 0xcf, 0x11, 0xe0]) {
        return file("the file is a workbook or an archive, not CSV", AS_CSV);
    }
    let control = |b: &u8| b.is_ascii_control() && !b.is_ascii_whitespace();
    let other_letters = std::str::from_utf8(head).is_err_and(|e| e.valid_up_to() == 0);
    if head.iter().any(control) || other_letters {
        return file("the file is not a text file", AS_CSV);
    }
    None
}

/// What stands between columns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Separator(u8);

impl Separator {
    /// The one that a header has most of: comma, semicolon or tab.
    pub(super) fn of(header: &str) -> Self {
        let count = |&mark: &u8| header.bytes().filter(|&b| b == mark).count();
        // Of equals the last is the most: the comma.
        Self([b'\t', b';', b','].into_iter().max_by_key(count).unwrap_or(b','))
    }

    /// Whether numbers may have decimal commas beside it.
    pub(super) fn leaves_commas(self) -> bool {
        self.0 != b','
    }

    /// The fields of a line, without the spaces around them; none where quotation marks do not pair.
    pub(super) fn split(self, line: &str) -> Option<Vec<String>> {
        if let Some(fields) = line.split(char::from(self.0)).map(|f| bare(f.trim())).collect() {
            return Some(fields);
        }
        if line.matches('"').count() % 2 == 1 {
            return None;
        }
        let mut reader =
            csv::ReaderBuilder::new().has_headers(false).delimiter(self.0).flexible(true).trim(csv::Trim::All).from_reader(line.as_bytes());
        let record = reader.records().next()?.ok()?;
        Some(record.iter().map(str::to_owned).collect())
    }
}

/// A field without the quotation marks around it; none where it has others, which may hold a separator.
fn bare(field: &str) -> Option<String> {
    let inner = field.strip_prefix('"').and_then(|f| f.strip_suffix('"')).unwrap_or(field);
    (!inner.contains('"')).then(|| inner.to_owned())
}
