//! The chapters of the help, from `assets/help`: what the program shows and README links to, so that nothing is written twice.
//!
//! They are written in a small part of Markdown: heads, paragraphs, lists, tables, indented code, and within a line `code`, *emphasis*,
//! **strong words** and links to other chapters.

/// A chapter.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Chapter {
    /// Its file under `assets/help`.
    pub file: &'static str,
    /// Its text.
    pub text: &'static str,
}

macro_rules! chapter {
    ($file:literal) => {
        Chapter { file: $file, text: include_str!(concat!("../assets/help/", $file)) }
    };
}

/// All chapters, in their order.
pub static CHAPTERS: [Chapter; 5] =
    [chapter!("window.md"), chapter!("files.md"), chapter!("climate-logs.md"), chapter!("accuracy.md"), chapter!("safety.md")];

impl Chapter {
    /// Its title: the first head.
    #[must_use]
    pub fn title(&self) -> &'static str {
        self.text.lines().find_map(|line| line.strip_prefix("# ")).unwrap_or(self.file)
    }

    /// What it says, block by block.
    #[must_use]
    pub fn blocks(&self) -> Vec<Block<'static>> {
        blocks(self.text)
    }
}

/// The place among [`CHAPTERS`] that a link leads to, if it leads to one.
#[must_use]
pub fn target(link: &str) -> Option<usize> {
    CHAPTERS.iter().position(|chapter| chapter.file == link)
}

/// A piece of a chapter.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Block<'t> {
    /// A head, and how deep it stands, from 1.
    Head(usize, &'t str),
    /// A paragraph.
    Text(Vec<Span<'t>>),
    /// A line of a list.
    Item(Vec<Span<'t>>),
    /// A row of a table, cell by cell; the first row is its head.
    Row(Vec<Vec<Span<'t>>>),
    /// Lines as they are.
    Code(Vec<&'t str>),
}

/// A piece of a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Span<'t> {
    /// Plain words.
    Plain(&'t str),
    /// As it is typed.
    Code(&'t str),
    /// A name on the screen.
    Emphasis(&'t str),
    /// A word that is explained.
    Strong(&'t str),
    /// Words that lead somewhere, and where.
    Link(&'t str, &'t str),
}

/// The pieces of a text.
#[must_use]
pub fn blocks(text: &str) -> Vec<Block<'_>> {
    let mut blocks = Vec::new();
    for line in text.lines() {
        let head = line.len() - line.trim_start_matches('#').len();
        if line.trim().is_empty() {
        } else if head > 0 {
            blocks.push(Block::Head(head, line[head..].trim()));
        } else if let Some(item) = line.strip_prefix("- ") {
            blocks.push(Block::Item(spans(item)));
        } else if let Some(code) = line.strip_prefix("    ") {
            match blocks.last_mut() {
                Some(Block::Code(lines)) => lines.push(code),
                _ => blocks.push(Block::Code(vec![code])),
            }
        } else if let Some(row) = line.strip_prefix('|') {
            // The line below a table's head only draws it.
            if !row.chars().all(|c| matches!(c, '|' | '-' | ' ')) {
                blocks.push(Block::Row(row.trim_end().trim_end_matches('|').split('|').map(|cell| spans(cell.trim())).collect()));
            }
        } else {
            blocks.push(Block::Text(spans(line)));
        }
    }
    blocks
}

/// The pieces of a line.
fn spans(line: &str) -> Vec<Span<'_>> {
    let mut spans = Vec::new();
    let (mut from, mut at) = (0, 0);
    while at < line.len() {
        let rest = &line[at..];
        let between = |mark: &'static str| {
            let inner = rest.strip_prefix(mark)?;
            let end = inner.find(mark).filter(|end| *end > 0)?;
            Some((&inner[..end], end + 2 * mark.len()))
        };
        let link = || {
            let (words, to) = rest.strip_prefix('[')?.split_once("](")?;
            let end = to.find(')').filter(|_| !words.contains(']'))?;
            Some((Span::Link(words, &to[..end]), words.len() + end + 4))
        };
        let found = between("`")
            .map(|(text, n)| (Span::Code(text), n))
            .or_else(|| between("**").map(|(text, n)| (Span::Strong(text), n)))
            .or_else(|| between("*").map(|(text, n)| (Span::Emphasis(text), n)))
            .or_else(link);
        match found {
            Some((span, length)) => {
                if from < at {
                    spans.push(Span::Plain(&line[from..at]));
                }
                spans.push(span);
                at += length;
                from = at;
            }
            None => at += rest.chars().next().map_or(1, char::len_utf8),
        }
    }
    if from < line.len() {
        spans.push(Span::Plain(&line[from..]));
    }
    spans
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_falls_into_its_pieces() {
        let text = "# A head\n\nPlain, `code` and *name*.\n- **Word**: see [Safety](safety.md)\n\n| a | b |\n|---|---|\n| `x` | 2 |\n\n    one\n    two\n";
        assert_eq!(
            blocks(text),
            [
                Block::Head(1, "A head"),
                Block::Text(vec![
                    Span::Plain("Plain, "),
                    Span::Code("code"),
                    Span::Plain(" and "),
                    Span::Emphasis("name"),
                    Span::Plain(".")
                ]),
                Block::Item(vec![Span::Strong("Word"), Span::Plain(": see "), Span::Link("Safety", "safety.md")]),
                Block::Row(vec![vec![Span::Plain("a")], vec![Span::Plain("b")]]),
                Block::Row(vec![vec![Span::Code("x")], vec![Span::Plain("2")]]),
                Block::Code(vec!["one", "two"]),
            ]
        );
        assert_eq!(spans("2 * 3 and [no link] and `open"), [Span::Plain("2 * 3 and [no link] and `open")]);
        assert_eq!((target("safety.md"), target("nowhere.md")), (Some(4), None));
    }
}
