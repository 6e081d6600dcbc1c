//! Files on disk, whatever is in them: written whole or not at all (`whole`), with what killed saves left cleared away (`leftovers`), told
//! from what another program made of them (`stamp`), and never waited for for ever where they are pipes or devices (`special`).

pub mod leftovers;
pub mod special;
pub mod stamp;
pub mod whole;

pub use stamp::{Expected, Since, Stamp};
pub use whole::{Step, backup_path, write_atomically};
