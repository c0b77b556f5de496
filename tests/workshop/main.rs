//! The workshop without a face: what is kept on file, what is read back, what is made of it for paper and other programs; and the
//! demo, and the map of the house. Nothing here starts another program.

#[path = "../common/book.rs"]
mod book;
#[path = "../common/invented/mod.rs"]
mod invented;
mod pages;
mod rounds;
#[path = "../common/scratch.rs"]
mod scratch;

mod arrows;
mod backup;
mod care;
mod circles;
mod copies;
mod crooked;
mod demo;
mod derived;
mod drills;
mod export;
mod figures;
mod for_practice;
mod guide;
mod history;
mod import;
mod join;
mod journal;
mod lessons;
mod loops;
mod machine;
mod newer;
mod owner;
mod paper;
mod people;
mod profiles;
mod rack;
mod records;
mod saws;
mod scale;
mod sheet;
mod softwood;
mod status;
mod tables;
mod tags;
mod tips;
mod visits;
