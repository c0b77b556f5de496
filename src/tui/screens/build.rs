//! The one place where a screen is made of what it shows.

use super::super::scene::Scene;
use super::Screen;
use super::ask_text::AskText;
use super::card::CardScreen;
use super::causes::Causes;
use super::gauge::Gauge;
use super::history::History;
use super::import::ImportScreen;
use super::intake::Intake;
use super::keys_page::keys_page;
use super::model::Model;
use super::new_loop::NewLoop;
use super::new_profile::NewProfile;
use super::page::Page;
use super::rack::RackScreen;
use super::round::RoundScreen;
use super::saw::{SawList, SawPage};
use super::settings::SettingsScreen;
use super::words::words_page;
use crate::chain::Wood;

/// The screen of a scene.
pub(in super::super) fn build(scene: Scene) -> Box<dyn Screen> {
    match scene {
        Scene::Rack => Box::new(RackScreen::default()),
        Scene::Keys(from) => Box::new(keys_page(from)),
        Scene::Words => Box::new(words_page()),
        Scene::Ask { title, purpose } => Box::new(AskText::new(&title, purpose)),
        Scene::Page { title, versions } => Box::new(Page::new(&title, &versions)),
        Scene::NewLoop(profiles) => Box::new(NewLoop::new(profiles)),
        Scene::NewProfile(profiles) => Box::new(NewProfile::new(profiles)),
        Scene::Card(found) => Box::new(CardScreen::new(found.0, &found.1)),
        Scene::Gauge(found) => Box::new(Gauge::new(found.0, found.1)),
        Scene::Intake(found) => Box::new(Intake::new(*found)),
        Scene::Round(found) => Box::new(RoundScreen::new(*found)),
        Scene::History(life) => Box::new(History::new(*life)),
        Scene::Causes(case) => Box::new(Causes::of(*case)),
        Scene::Model { chain, unit } => {
            let model = chain.map_or_else(Model::default, |chain| Model::of(&chain.0, &chain.1, Wood::Any));
            Box::new(model.in_unit(unit))
        }
        Scene::Saw(found) => Box::new(SawPage::new(&found.0, &found.1)),
        Scene::SawChecks(list, with) => Box::new(SawList::new(*list, with)),
        Scene::Import { profiles, chosen, sharpener } => Box::new(ImportScreen::new(profiles, chosen, &sharpener)),
        Scene::Settings(settings) => Box::new(SettingsScreen::new(settings)),
    }
}
