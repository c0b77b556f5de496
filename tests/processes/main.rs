//! Everything that starts other programs. A process that is being started holds, for a moment, every file and lock that its program
//! has open; beside tests that wait for such a lock it would make them fail now and then.

#[path = "../common/book.rs"]
mod book;
#[path = "../common/invented/mod.rs"]
mod invented;
#[path = "../common/phrases.rs"]
mod phrases;
#[path = "../common/scratch.rs"]
mod scratch;

mod check;
#[cfg(unix)]
mod command_line;
#[cfg(unix)]
mod disk;
mod export;
#[cfg(unix)]
mod faults;
mod formats;
#[cfg(unix)]
mod instruments;
#[cfg(unix)]
mod journal;
mod names;
mod not_read;
mod printing;
mod said;
#[cfg(unix)]
mod shared_folder;
mod speak;
mod supply;
#[cfg(unix)]
mod terminal;
mod two;
