//! The screens: one file each, its drawing tests beside it; and the one place where a screen is made of what it shows.

mod ask_text;
mod card;
mod causes;
mod choose;
#[cfg(test)]
mod drawing;
mod drills;
mod fields;
pub(super) mod form;
mod gap_lines;
mod gauge;
mod history;
mod import;
mod intake;
mod join;
mod keys_page;
mod model;
mod new_loop;
mod new_profile;
mod page;
mod paper;
mod picture;
mod practice;
mod rack;
mod rack_loop;
mod rack_rows;
mod round;
mod saw;
mod settings;
mod view;
mod why;
mod words;

use super::keys::Leaf;
use super::scene::Scene;
use super::screen::Screen;
use crate::units::Unit;
use ask_text::AskText;
use card::CardScreen;
use causes::Causes;
use choose::Choose;
use drills::{DrillScreen, Who};
use gauge::Gauge;
use history::History;
use import::ImportScreen;
use intake::Intake;
use join::JoinScreen;
use keys_page::keys_page;
use model::Model;
use new_loop::NewLoop;
use new_profile::NewProfile;
use page::Page;
use paper::PaperScreen;
use practice::NewPractice;
use rack::RackScreen;
use round::RoundScreen;
use saw::{SawList, SawPage};
use settings::SettingsScreen;
use why::WhyScreen;

/// The screen that a key alone opens.
pub(super) fn leaf(leaf: Leaf) -> Box<dyn Screen> {
    match leaf {
        Leaf::Words => Box::new(words::words_page()),
    }
}

/// The screen of a scene; `units` are those of what belongs to no round with a unit of its own.
pub(super) fn build(scene: Scene, units: Unit) -> Box<dyn Screen> {
    match scene {
        Scene::Rack => Box::new(RackScreen::default()),
        Scene::Keys(from) => Box::new(keys_page(from)),
        Scene::Ask { title, purpose } => Box::new(AskText::new(&title, purpose)),
        Scene::Page { title, versions, of } => Box::new(Page::new(&title, &versions).of(of)),
        Scene::NewLoop(profiles, tags) => Box::new(NewLoop::new(profiles, tags, units)),
        Scene::NewProfile(profiles) => Box::new(NewProfile::new(profiles, units)),
        Scene::Card(found) => Box::new(CardScreen::new(found.0, &found.1, found.2, units)),
        Scene::Gauge(found) => Box::new(Gauge::new(found.0, found.1, units)),
        Scene::Intake(found) => Box::new(Intake::new(*found)),
        Scene::Round(found) => Box::new(RoundScreen::new(*found)),
        Scene::NewPractice(set) => Box::new(NewPractice::new(set)),
        Scene::History(life) => Box::new(History::new(*life)),
        Scene::Causes(case) => Box::new(Causes::of(*case)),
        Scene::Model(lecture) => Box::new(Model::new(*lecture)),
        Scene::Why(whys) => Box::new(WhyScreen::new(*whys)),
        Scene::Saw(found) => Box::new(SawPage::new(&found.0, &found.1)),
        Scene::SawChecks(list, with) => Box::new(SawList::new(*list, with)),
        Scene::Learners(seats, problems, others) => Box::new(Who::new(seats, problems, others)),
        Scene::Drills(bench, said) => Box::new(DrillScreen::new(*bench, said)),
        Scene::Import { profiles, chosen, sharpener } => Box::new(ImportScreen::new(profiles, chosen, &sharpener)),
        Scene::Join(folder) => Box::new(JoinScreen::new(folder)),
        Scene::Questions(asked, problems) => Box::new(Choose::new(asked, problems)),
        Scene::Paper(blank, page) => Box::new(PaperScreen::new(*blank, &page, units)),
        Scene::Settings(settings) => Box::new(SettingsScreen::new(settings)),
    }
}
