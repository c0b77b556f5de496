//! The main job against the outside: standards, handbooks, open data sets, other libraries. The source stands beside each check.

mod advice;
mod chain;
mod stats;
