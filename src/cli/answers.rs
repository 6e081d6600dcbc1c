//! Where the answer of a question goes: a table to read, and documents for scripts.

use std::io::{self, Write};
use std::path::{Path, PathBuf};

use super::failure::Failure;
use super::output::{self, is_standard};
use crate::sheet::answers::{Answer, Form};

/// The documents that are asked for.
#[derive(Clone, Debug, clap::Args)]
pub struct Documents {
    /// Write the whole answer as JSON, or - for standard output
    #[arg(long, value_name = "OUT.json")]
    json: Option<PathBuf>,
    /// Write the answer as a table (CSV), or - for standard output
    #[arg(long, value_name = "OUT.csv")]
    csv: Option<PathBuf>,
}

impl Documents {
    /// Refuses documents that would take the place of a scenario, of each other, or of something else that is written.
    pub fn apart(&self, scenarios: &[&Path], others: &[(&str, Option<&Path>)]) -> Result<(), Failure> {
        let own = [("--json", self.json.as_deref()), ("--csv", self.csv.as_deref())];
        output::apart(scenarios, &others.iter().copied().chain(own).collect::<Vec<_>>())
    }

    fn asked(&self) -> impl Iterator<Item = (Form, &Path)> {
        let both = [(Form::Json, self.json.as_deref()), (Form::Csv, self.csv.as_deref())];
        both.into_iter().filter_map(|(form, path)| Some((form, path?)))
    }

    /// Writes what is asked for; and what is to be read, where standard output has room for it. `elsewhere`: other results were written to a file, or
    /// (`Some(true)`) to standard output.
    pub fn write(
        &self,
        answer: &Answer<'_>,
        elsewhere: Option<bool>,
        table: impl FnOnce(&mut dyn Write) -> io::Result<()>,
    ) -> Result<(), Failure> {
        for (form, path) in self.asked() {
            let bytes = answer.bytes(form);
            output::to(path, |out| out.write_all(&bytes?))?;
        }
        let taken = elsewhere == Some(true) || self.asked().any(|(_, path)| is_standard(path));
        if taken { Ok(()) } else { output::to_standard_or_beside(elsewhere.is_some() || self.asked().next().is_some(), table) }
    }
}
