//! The saw: a page of what is known of it, and the list of its checks.

mod list;
mod page;
#[cfg(test)]
mod tests;

pub(super) use list::SawList;
pub(super) use page::SawPage;
