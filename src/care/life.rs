//! A round with all that earlier ones tell, and the life of a loop.

use super::Workshop;
use crate::advice::Skill;
use crate::coach::Coach;
use crate::record::history::Row;
use crate::record::{RackError, Sharpener};
use crate::report::history::History;
use crate::report::sheet::Sheet;
use crate::round::summary::last_cutters;
use crate::round::{Card, Closing, LastCutter, Round, Summary};
use crate::units::{deg, mm};

impl Workshop {
    /// A coach for a round of a loop, with what earlier rounds tell. A history that cannot be read costs predictions,
    /// never the round.
    pub fn coach(&self, card: &Card, round: Round) -> Coach {
        let (rack, header) = (&self.rack, &round.header);
        let mut past = rack.past(&card.tag, &header.sharpener, &header.profile).unwrap_or_default();
        if past.rounds.iter().any(|earlier| earlier.started >= header.started) {
            // A round looked at again later knows only what went before it.
            past.rounds.retain(|earlier| earlier.started < header.started);
            past.last = self.last_before(card, &round).unwrap_or_default();
        }
        let skill = rack.sharpener(&header.sharpener).map_or_else(|_| Skill::default(), |person| skill_of(&person));
        let saw = rack.saw(if header.saw.is_empty() { &card.saw } else { &header.saw }).unwrap_or_default();
        let mut coach = Coach::new(round, past, skill, card.prices.clone());
        coach.saw = saw;
        coach
    }

    /// The sheet of a round as it stands.
    pub fn sheet_of(&self, coach: &Coach) -> Sheet {
        let card = self.rack.card(&coach.round.header.tag).ok();
        Sheet::of(&coach.context(), card.as_ref()).with_saw(&coach.round, coach.saw.as_ref())
    }

    /// The life of a loop, for reports: its rounds, and what is to be expected after the last of them.
    ///
    /// # Errors
    /// No such loop, none of its rounds can be read, or its profile is missing.
    pub fn history(&self, tag: &str) -> Result<History, RackError> {
        let rack = &self.rack;
        let card = rack.card(tag)?;
        let spec = rack.spec(&card, &rack.profile(&card.profile)?);
        let (history, _) = rack.history(tag, &mut |_, _| ())?;
        let rounds: Vec<Summary> = history.closed().map(|row| row.summary.clone()).collect();
        let forecast = crate::advice::forecast::of_loop(&rounds, &spec, &card.prices);
        let hint = rack.saw(&card.saw)?.and_then(|saw| crate::advice::saw::hint(&saw.glance()));
        Ok(History::of(&rounds, &card, &spec, &forecast).with_saw(&card.saw, hint))
    }

    /// The cutters as the last signed round before this one left them.
    fn last_before(&self, card: &Card, round: &Round) -> Option<Vec<LastCutter>> {
        let rack = &self.rack;
        let (history, _) = rack.history(&card.tag, &mut |_, _| ()).ok()?;
        let before =
            |row: &&Row| row.summary.started < round.header.started && row.summary.how == Some(Closing::Signed);
        let name = history.rows.iter().rfind(before)?.file.clone();
        let path = rack.rounds(&card.tag).ok()?.into_iter().find(|path| path.ends_with(&name))?;
        Some(last_cutters(&rack.read_round(&path).ok()?))
    }
}

fn skill_of(person: &Sharpener) -> Skill {
    let usual = Skill::default();
    Skill {
        length: person.length_u_mm.map_or(usual.length, mm),
        gap: person.gap_u_mm.map_or(usual.gap, mm),
        angle: person.angle_u_deg.map_or(usual.angle, deg),
        own: person.length_u_mm.is_some(),
    }
}
